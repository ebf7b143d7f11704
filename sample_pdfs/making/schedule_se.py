"""Schedule SE (self-employment tax) and Form 8995 (qualified business income)."""

from decimal import Decimal

from making.figures import Figures, whole
from making.layout import Ladder, bar, name_line, page_foot, schedule_head
from making.numbers import BUSINESS_EIN, Household
from making.pdf_book import PdfBook

WAGE_BASE = 176_100


def schedule_se(s: PdfBook, who: Household, f: Figures) -> None:
    """One page."""
    y = schedule_head(
        s,
        "SCHEDULE SE",
        "(Form 1040)",
        "Self-Employment Tax",
        (
            "Attach to Form 1040, 1040-SR, 1040-SS, or 1040-NR.",
            "Go to www.irs.gov/ScheduleSE for instructions and the latest information.",
        ),
        "17",
    )
    y = name_line(
        s,
        y,
        who.taxpayer,
        who.taxpayer_ssn,
        "Name of person with self-employment income (as shown on Form 1040, 1040-SR, or 1040-NR)",
        "Social security number of person",
    )
    y = bar(s, y - 4, "Part I", "Self-Employment Tax")
    y = s.para(
        62,
        y - 12,
        500,
        "Note: If your only income subject to self-employment tax is church employee income, see "
        "instructions for how to report your income and the definition of church employee income.",
        7.5,
    )
    rows = Ladder(s, y, step=19)
    rows.row(
        "A",
        "If you are a minister, member of a religious order, or Christian Science practitioner and "
        "you filed\nForm 4361, but you had $400 or more of other net earnings, check here",
        where="none",
    )
    wages = whole(f.wages[0].gross)
    room = WAGE_BASE - wages
    rows.row("1a", "Net farm profit or (loss) from Schedule F, line 34")
    rows.row(
        "b", "Social security retirement or disability: Conservation Reserve payments", box="1b"
    )
    rows.row("2", "Net profit or (loss) from Schedule C, line 31", f.profit)
    rows.row("3", "Combine lines 1a, 1b, and 2", f.profit)
    rows.row("4a", "If line 3 is more than zero, multiply line 3 by 92.35% (0.9235)", f.se_base)
    rows.row("b", "If you elect one or both of the optional methods, enter the total", box="4b")
    rows.row("c", "Combine lines 4a and 4b. If less than $400, stop", f.se_base, box="4c")
    rows.row("5a", "Enter your church employee income from Form W-2", where="inner")
    rows.row("b", "Multiply line 5a by 92.35% (0.9235). If less than $100, enter -0-", 0, box="5b")
    rows.row("6", "Add lines 4c and 5b", f.se_base)
    rows.row(
        "7",
        "Maximum amount of combined wages and self-employment earnings subject to social\n"
        "security tax for 2025",
        WAGE_BASE,
    )
    rows.row("8a", "Total social security wages and tips (Form W-2)", wages, where="inner")
    rows.row("b", "Unreported tips subject to tax from Form 4137", where="inner", box="8b")
    rows.row("c", "Wages subject to tax from Form 8919", where="inner", box="8c")
    rows.row("d", "Add lines 8a, 8b, and 8c", wages, box="8d")
    rows.row("9", "Subtract line 8d from line 7. If zero or less, enter -0-", room)
    rows.row(
        "10", "Multiply the smaller of line 6 or line 9 by 12.4% (0.124)", f.se_social_security
    )
    rows.row("11", "Multiply line 6 by 2.9% (0.029)", f.se_medicare)
    rows.row(
        "12",
        "Self-employment tax. Add lines 10 and 11. Enter here and on Schedule 2, line 4",
        f.se_tax,
        font="B",
    )
    rows.row(
        "13",
        "Deduction for one-half of self-employment tax. Multiply line 12 by 50%.\n"
        "Enter here and on Schedule 1 (Form 1040), line 15",
        f.se_half,
        where="inner",
        font="B",
    )
    page_foot(
        s,
        rows.y - 10,
        "For Paperwork Reduction Act Notice, see your tax return instructions.",
        "Cat. No. 11358Z",
        "Schedule SE (Form 1040) 2025",
    )
    s.turn()


def form_8995(s: PdfBook, who: Household, f: Figures) -> None:
    """One page."""
    y = schedule_head(
        s,
        "Form 8995",
        "",
        "Qualified Business Income Deduction Simplified Computation",
        (
            "Attach to your tax return.",
            "Go to www.irs.gov/Form8995 for instructions and the latest information.",
        ),
        "55",
        omb="1545-2294",
    )
    y = name_line(
        s, y, who.names, who.taxpayer_ssn, number_label="Your taxpayer identification number"
    )
    y = s.para(
        40,
        y - 12,
        530,
        "Note: You can claim the qualified business income deduction only if you have qualified "
        "business income from a qualified trade or business, real estate investment trust "
        "dividends, publicly traded partnership income, or a domestic production activities "
        "deduction passed through from an agricultural or horticultural cooperative.",
        7.2,
        leading=8.8,
    )
    columns = ((40.0, 22.0), (62.0, 262.0), (324.0, 122.0), (446.0, 130.0))
    heads = (
        "1",
        "(a) Trade, business, or aggregation name",
        "(b) Taxpayer identification number",
        "(c) Qualified business income or (loss)",
    )
    first = ("i", "Venn Bindery", BUSINESS_EIN, f"{f.qbi_income:,}")
    for values, font in ((heads, "B"), (first, "M"), *((n, "M") for n in (("ii",), ("iii",)))):
        for (x, width), value in zip(columns, (*values, "", "", "", "")[:4], strict=True):
            s.rect(x, y - 16, width, 16)
            s.text(x + 4, y - 11, value, 7.5 if font == "B" else 9, font, fit=width - 8)
        y -= 16
    rows = Ladder(s, y - 4, step=19)
    before = f.agi - f.standard
    gain = whole(f.qualified)
    fifth = whole(Decimal(f.qbi_income) / 5)
    rows.row("2", "Total qualified business income or (loss)", f.qbi_income, where="inner")
    rows.row("3", "Qualified business net (loss) carryforward", 0, where="inner")
    rows.row(
        "4",
        "Total qualified business income. If zero or less, enter -0-",
        f.qbi_income,
        where="inner",
    )
    rows.row("5", "Qualified business income component. Multiply line 4 by 20% (0.20)", fifth)
    rows.row("6", "Qualified REIT dividends and publicly traded partnership income", where="inner")
    rows.row("7", "REIT and PTP (loss) carryforward from the prior year", 0, where="inner")
    rows.row("8", "Total REIT dividends and PTP income", 0, where="inner")
    rows.row("9", "REIT and PTP component. Multiply line 8 by 20% (0.20)", 0)
    rows.row("10", "Deduction before the income limitation. Add lines 5 and 9", fifth)
    rows.row("11", "Taxable income before this deduction", before, where="inner")
    rows.row("12", "Net capital gain, increased by qualified dividends", gain, where="inner")
    rows.row("13", "Subtract line 12 from line 11", before - gain, where="inner")
    rows.row(
        "14", "Income limitation. Multiply line 13 by 20% (0.20)", whole(Decimal(before - gain) / 5)
    )
    rows.row(
        "15",
        "Qualified business income deduction. Enter the smaller of line 10 or line 14 here and on\n"
        "the applicable line of your return",
        f.qbi,
        font="B",
    )
    rows.row("16", "Total qualified business (loss) carryforward", 0)
    rows.row("17", "Total qualified REIT dividends and PTP (loss) carryforward", 0)
    page_foot(
        s,
        rows.y - 10,
        "For Privacy Act and Paperwork Reduction Act Notice, see instructions.",
        "Cat. No. 37806C",
        "Form 8995 (2025)",
    )
    s.turn()
