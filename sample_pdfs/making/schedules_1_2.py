"""Schedule 1 (additional income, adjustments) and Schedule 2 (additional taxes)."""

from making.figures import Figures
from making.layout import (
    Ladder,
    bar,
    continued_names,
    name_line,
    page_foot,
    page_head,
    schedule_head,
)
from making.numbers import Household
from making.pdf_book import PdfBook

ATTACH = "Attach to Form 1040, 1040-SR, or 1040-NR."
SITE = "Go to www.irs.gov/Form1040 for instructions and the latest information."
NOTICE = "For Paperwork Reduction Act Notice, see your tax return instructions."


def schedule_1(s: PdfBook, who: Household, f: Figures) -> None:
    """Two pages."""
    y = schedule_head(
        s,
        "SCHEDULE 1",
        "(Form 1040)",
        "Additional Income and Adjustments to Income",
        (ATTACH, SITE),
        "01",
    )
    y = name_line(
        s, y, who.names, who.taxpayer_ssn, "Name(s) shown on Form 1040, 1040-SR, or 1040-NR"
    )
    y = bar(s, y - 4, "Part I", "Additional Income")
    rows = Ladder(s, y, step=18.4)
    rows.row("1", "Taxable refunds, credits, or offsets of state and local income taxes")
    rows.row("2a", "Alimony received")
    rows.row(
        "b", "Date of original divorce or separation agreement (see instructions):", where="none"
    )
    rows.row("3", "Business income or (loss). Attach Schedule C", f.profit)
    rows.row("4", "Other gains or (losses). Attach Form 4797")
    rows.row(
        "5",
        "Rental real estate, royalties, partnerships, S corporations, trusts. Attach Schedule E",
    )
    rows.row("6", "Farm income or (loss). Attach Schedule F")
    rows.row("7", "Unemployment compensation")
    rows.row("8", "Other income:", where="none")
    for letter, words in (
        ("a", "Net operating loss"),
        ("b", "Gambling"),
        ("c", "Cancellation of debt"),
        ("d", "Foreign earned income exclusion from Form 2555"),
        ("e", "Income from Form 8853"),
        ("f", "Income from Form 8889"),
        ("g", "Alaska Permanent Fund dividends"),
        ("h", "Jury duty pay"),
        ("i", "Prizes and awards"),
        ("j", "Activity not engaged in for profit income"),
        ("k", "Stock options"),
        ("l", "Income from the rental of personal property"),
        ("m", "Olympic and Paralympic medals and prize money"),
        ("n", "Section 951(a) inclusion"),
        ("s", "Nontaxable Medicaid waiver payments"),
        ("z", "Other income. List type and amount:"),
    ):
        rows.row(letter, words, where="inner", box=f"8{letter}")
    rows.row("9", "Total other income. Add lines 8a through 8z")
    rows.row(
        "10",
        "Combine lines 1 through 7 and 9. This is your additional income. Enter here and on\n"
        "Form 1040, 1040-SR, or 1040-NR, line 8",
        f.profit,
        font="B",
    )
    page_foot(s, 60, NOTICE, "Cat. No. 71479F", "Schedule 1 (Form 1040) 2025")
    s.turn()
    _adjustments(s, who, f)


def _adjustments(s: PdfBook, who: Household, f: Figures) -> None:
    y = page_head(s, "Schedule 1 (Form 1040) 2025", 2)
    y = continued_names(s, y, who.names, who.taxpayer_ssn)
    y = bar(s, y - 4, "Part II", "Adjustments to Income")
    rows = Ladder(s, y, step=18)
    rows.row("11", "Educator expenses")
    rows.row("12", "Certain business expenses of reservists and performing artists. Form 2106")
    rows.row("13", "Health savings account deduction. Attach Form 8889")
    rows.row("14", "Moving expenses for members of the Armed Forces. Attach Form 3903")
    rows.row("15", "Deductible part of self-employment tax. Attach Schedule SE", f.se_half)
    rows.row("16", "Self-employed SEP, SIMPLE, and qualified plans")
    rows.row("17", "Self-employed health insurance deduction")
    rows.row("18", "Penalty on early withdrawal of savings")
    rows.row("19a", "Alimony paid")
    rows.row("b", "Recipient's SSN", where="none")
    rows.row("20", "IRA deduction")
    rows.row("21", "Student loan interest deduction", f.student_loan)
    rows.row("22", "Reserved for future use", where="none")
    rows.row("23", "Archer MSA deduction")
    rows.row("24", "Other adjustments:", where="none")
    for letter, words in (
        ("a", "Jury duty pay (see instructions)"),
        ("b", "Deductible expenses related to rental of personal property"),
        ("c", "Nontaxable amount of Olympic and Paralympic medals"),
        ("d", "Reforestation amortization and expenses"),
        ("e", "Repayment of supplemental unemployment benefits"),
        ("f", "Contributions to section 501(c)(18)(D) pension plans"),
        ("g", "Contributions by certain chaplains to 403(b) plans"),
        ("h", "Attorney fees, certain discrimination claims"),
        ("i", "Attorney fees, awards for tax law information"),
        ("j", "Housing deduction from Form 2555"),
        ("k", "Excess deductions of section 67(e) expenses"),
        ("z", "Other adjustments. List type and amount:"),
    ):
        rows.row(letter, words, where="inner", box=f"24{letter}")
    rows.row("25", "Total other adjustments. Add lines 24a through 24z")
    rows.row(
        "26",
        "Add lines 11 through 23 and 25. These are your adjustments to income. Enter here and\n"
        "on Form 1040 or 1040-SR, line 10",
        f.adjustments,
        font="B",
    )
    page_foot(s, rows.y - 12, "", "", "Schedule 1 (Form 1040) 2025")
    s.turn()


def schedule_2(s: PdfBook, who: Household, f: Figures) -> None:
    """Two pages."""
    y = schedule_head(s, "SCHEDULE 2", "(Form 1040)", "Additional Taxes", (ATTACH, SITE), "02")
    y = name_line(
        s, y, who.names, who.taxpayer_ssn, "Name(s) shown on Form 1040, 1040-SR, or 1040-NR"
    )
    y = bar(s, y - 4, "Part I", "Tax")
    rows = Ladder(s, y, step=19)
    rows.row("1a", "Excess advance premium tax credit repayment. Attach Form 8962", where="inner")
    rows.row("b", "Repayment of new clean vehicle credit. Form 8936", where="inner", box="1b")
    rows.row("y", "Other additions to tax (see instructions)", where="inner", box="1y")
    rows.row("z", "Add lines 1a through 1y", 0, box="1z")
    rows.row("2", "Alternative minimum tax. Attach Form 6251")
    rows.row(
        "3", "Add lines 1z and 2. Enter here and on Form 1040, 1040-SR, or 1040-NR, line 17", 0
    )
    y = bar(s, rows.y, "Part II", "Other Taxes")
    rows = Ladder(s, y, step=19)
    rows.row("4", "Self-employment tax. Attach Schedule SE", f.se_tax)
    rows.row("5", "Tax on unreported tip income. Form 4137", where="inner")
    rows.row("6", "Uncollected tax on wages. Form 8919", where="inner")
    rows.row("7", "Total additional social security and Medicare tax. Add lines 5 and 6")
    rows.row("8", "Additional tax on IRAs or other tax-favored accounts. Form 5329 if required")
    rows.row("9", "Household employment taxes. Attach Schedule H")
    rows.row("10", "Repayment of first-time homebuyer credit. Attach Form 5405 if required")
    rows.row("11", "Additional Medicare Tax. Attach Form 8959")
    rows.row("12", "Net investment income tax. Attach Form 8960")
    rows.row(
        "13", "Uncollected social security and Medicare or RRTA tax on tips, from Form W-2, box 12"
    )
    rows.row("14", "Interest on tax due on installment income from the sale of certain lots")
    rows.row("15", "Interest on deferred tax on gain from certain installment sales over $150,000")
    rows.row("16", "Recapture of low-income housing credit. Attach Form 8611")
    page_foot(s, rows.y - 10, NOTICE, "Cat. No. 71478U", "Schedule 2 (Form 1040) 2025")
    s.turn()
    y = page_head(s, "Schedule 2 (Form 1040) 2025", 2)
    y = bar(s, y - 4, "Part II", "Other Taxes", "(continued)")
    rows = Ladder(s, y, step=19)
    rows.row("17", "Other additional taxes:", where="none")
    for letter, words in (
        ("a", "Recapture of other credits. List type, form number"),
        ("b", "Recapture of federal mortgage subsidy"),
        ("c", "Additional tax on HSA distributions. Form 8889"),
        ("d", "Additional tax on an HSA (eligibility). Form 8889"),
        ("e", "Additional tax on Archer MSA distributions"),
        ("f", "Additional tax on Medicare Advantage MSA"),
        ("g", "Recapture of a charitable contribution deduction"),
        ("h", "Income from nonqualified deferred compensation"),
        ("i", "Compensation from nonqualified plans, sec. 457A"),
        ("j", "Section 72(m)(5) excess benefits tax"),
        ("k", "Golden parachute payments"),
        ("l", "Tax on accumulation distribution of trusts"),
        ("z", "Any other taxes. List type and amount:"),
    ):
        rows.row(letter, words, where="inner", box=f"17{letter}")
    rows.row("18", "Total additional taxes. Add lines 17a through 17z")
    rows.row("19", "Recapture of net EPE from Form 4255, line 1d, column (l)")
    rows.row("20", "Section 965 net tax liability installment from Form 965-A", where="inner")
    rows.row(
        "21",
        "Add lines 4, 7 through 16, 18, and 19. These are your total other taxes. Enter here and\n"
        "on Form 1040 or 1040-SR, line 23, or Form 1040-NR, line 23b",
        f.se_tax,
        font="B",
    )
    page_foot(s, rows.y - 10, "", "", "Schedule 2 (Form 1040) 2025")
    s.turn()
