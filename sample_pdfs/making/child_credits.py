"""Schedule 8812 (credits for children) and Form 8867 (preparer's due diligence)."""

from making.figures import CHILD_CREDIT, Figures
from making.layout import LEFT, Ladder, bar, name_line, page_foot, page_head, schedule_head
from making.numbers import PREPARER, PREPARER_PTIN, Household
from making.pdf_book import PdfBook


def schedule_8812(s: PdfBook, who: Household, f: Figures) -> None:
    """Page 1 with Part I; the additional credit of page 2 does not apply."""
    y = schedule_head(
        s,
        "SCHEDULE 8812",
        "(Form 1040)",
        "Credits for Qualifying Children and Other Dependents",
        (
            "Attach to Form 1040, 1040-SR, or 1040-NR.",
            "Go to www.irs.gov/Schedule8812 for instructions and the latest information.",
        ),
        "47",
    )
    y = name_line(s, y, who.names, who.taxpayer_ssn)
    y = bar(s, y - 4, "Part I", "Child Tax Credit and Credit for Other Dependents")
    rows = Ladder(s, y, step=22)
    amount = f.children * CHILD_CREDIT
    rows.row("1", "Enter the amount from line 11a of your Form 1040, 1040-SR, or 1040-NR", f.agi)
    rows.row("2a", "Enter income from Puerto Rico that you excluded", 0, where="inner")
    rows.row("b", "Amounts from lines 45 and 50 of Form 2555", 0, where="inner", box="2b")
    rows.row("c", "Amount from line 15 of your Form 4563", 0, where="inner", box="2c")
    rows.row("d", "Add lines 2a through 2c", 0, box="2d")
    rows.row("3", "Add lines 1 and 2d", f.agi)
    rows.row(
        "4",
        "Number of qualifying children under age 17 with\nthe required social security number",
        f.children,
        where="inner",
    )
    rows.row("5", f"Multiply line 4 by ${CHILD_CREDIT:,}", amount)
    rows.row("6", "Number of other dependents", 0, where="inner")
    rows.row("7", "Multiply line 6 by $500", 0)
    rows.row("8", "Add lines 5 and 7", amount)
    rows.row(
        "9",
        "Enter the amount shown below for your filing status.\n"
        "Married filing jointly: $400,000. All other filing statuses: $200,000",
        400_000,
    )
    rows.row("10", "Subtract line 9 from line 3. If zero or less, enter -0-", 0)
    rows.row("11", "Multiply line 10 by 5% (0.05)", 0)
    rows.row(
        "12", "Is the amount on line 8 more than the amount on line 11? If Yes, subtract", amount
    )
    rows.row("13", "Enter the amount from Credit Limit Worksheet A", f.tax)
    rows.row(
        "14",
        "Enter the smaller of line 12 or line 13. This is your child tax credit and credit for\n"
        "other dependents. Enter this amount on Form 1040, 1040-SR, or 1040-NR, line 19",
        f.child_credit,
        font="B",
    )
    s.para(
        62,
        rows.y - 14,
        500,
        "If the amount on line 12 is more than the amount on line 14, you may be able to take the "
        "additional child tax credit on Form 1040, 1040-SR, or 1040-NR, line 28. Complete your "
        "return through line 27 before completing Part II-A on page 2.",
        7.5,
    )
    page_foot(
        s,
        60,
        "For Paperwork Reduction Act Notice, see your tax return instructions.",
        "Cat. No. 59761M",
        "Schedule 8812 (Form 1040) 2025",
    )
    s.turn()


QUESTIONS_FIRST = (
    (
        "1",
        "Did you complete the return based on information for the applicable tax year provided by "
        "the taxpayer or reasonably obtained by you?",
    ),
    (
        "2",
        "If credits are claimed on the return, did you complete the applicable worksheets found in "
        "the form instructions, or your own worksheets with the same information and computations?",
    ),
    (
        "3",
        "Did you satisfy the knowledge requirement? You must interview the taxpayer, ask adequate "
        "questions, and document the answers at the time.",
    ),
    (
        "4",
        "Did any information provided by the taxpayer or a third party appear to be incorrect, "
        "incomplete, or inconsistent?",
    ),
    (
        "5",
        "Did you satisfy the record retention requirement? List below any documents provided by "
        "the taxpayer that you relied on:",
    ),
    (
        "6",
        "Did you ask the taxpayer whether he or she could provide documentation to substantiate "
        "eligibility for the credit(s) and the amount(s) claimed?",
    ),
    (
        "7",
        "Did you ask the taxpayer if any of these credits were disallowed or reduced in a previous "
        "year?",
    ),
    (
        "8",
        "If the taxpayer is reporting self-employment income, did you ask questions to prepare a "
        "complete and correct Schedule C (Form 1040)?",
    ),
)
QUESTIONS_CHILD = (
    (
        "10",
        "Have you determined that each qualifying person for the CTC/ACTC/ODC is the taxpayer's "
        "dependent who is a citizen, national, or resident of the United States?",
    ),
    (
        "11",
        "Did you explain to the taxpayer that he or she may not claim the CTC/ACTC if the child "
        "has not lived with the taxpayer for over half of the year?",
    ),
    (
        "12",
        "Did you explain the rules about claiming the CTC/ACTC/ODC for a child of divorced or "
        "separated parents, including any requirement to attach Form 8332?",
    ),
)


def _questions(s: PdfBook, y: float, questions: tuple[tuple[str, str], ...]) -> float:
    for number, words in questions:
        top = y
        s.text(LEFT + 16, y - 13, number, 8, "B", "r")
        y = s.para(62, y - 13, 380, words, 8, leading=10)
        y -= 5
        yes = number != "4"
        s.choices(462, top - 13, (("Yes", yes), ("No", not yes), ("N/A", False)))
        s.line(LEFT, y, 576, y, 0.4, color=(0.6, 0.6, 0.6))
    return y


def form_8867(s: PdfBook, who: Household) -> None:
    """Two pages."""
    y = schedule_head(
        s,
        "Form 8867",
        "(Rev. November 2024)",
        "Paid Preparer's Due Diligence Checklist",
        (
            "Earned Income Credit (EIC), Child Tax Credit (CTC), Credit for Other Dependents (ODC)",
            "To be completed by preparer and filed with Form 1040, 1040-SR, or 1040-NR.",
        ),
        "70",
    )
    y = name_line(
        s,
        y,
        who.names,
        who.taxpayer_ssn,
        "Taxpayer name(s) shown on return",
        "Taxpayer identification number",
    )
    y = name_line(
        s,
        y,
        PREPARER,
        PREPARER_PTIN,
        "Preparer's name",
        "Preparer tax identification number",
    )
    y = bar(s, y - 4, "Part I", "Due Diligence Requirements")
    s.text(
        40, y - 12, "Please check the appropriate box for the credit(s) claimed on the return.", 7.5
    )
    s.choices(
        320, y - 12, (("EIC", False), ("CTC/ACTC/ODC", True), ("AOTC", False), ("HOH", False))
    )
    y = _questions(s, y - 18, QUESTIONS_FIRST)
    s.text(62, y - 14, "Documents relied on:", 8)
    s.text(150, y - 14, "School records, birth certificates, health record of child", 9, "M")
    s.line(148, y - 17, 570, y - 17, 0.4)
    page_foot(
        s,
        60,
        "For Paperwork Reduction Act Notice, see separate instructions.",
        "Cat. No. 26142H",
        "Form 8867 (Rev. 11-2024)",
    )
    s.turn()
    y = page_head(s, "Form 8867 (Rev. 11-2024)", 2)
    y = bar(s, y, "Part II", "Due Diligence Questions for Returns Claiming EIC")
    s.text(62, y - 14, "If the return does not claim EIC, go to Part III.", 8)
    y = bar(
        s,
        y - 24,
        "Part III",
        "Due Diligence Questions for Returns Claiming CTC/ACTC/ODC",
    )
    y = _questions(s, y, QUESTIONS_CHILD)
    y = bar(s, y - 10, "Part IV", "Due Diligence Questions for Returns Claiming AOTC")
    s.text(62, y - 14, "If the return does not claim AOTC, go to Part V.", 8)
    y = bar(s, y - 24, "Part V", "Due Diligence Questions for Claiming HOH")
    s.text(62, y - 14, "If the return does not claim HOH filing status, go to Part VI.", 8)
    y = bar(s, y - 24, "Part VI", "Eligibility Certification")
    y = s.para(
        62,
        y - 14,
        500,
        "You will have complied with all due diligence requirements for claiming the applicable "
        "credit(s) on the return of the taxpayer identified above if you: interview the taxpayer, "
        "ask adequate questions, document the answers, complete this Form 8867 truthfully and "
        "accurately, submit it in the manner required, and keep all five of the records listed in "
        "the instructions for 3 years from the latest of the dates specified there.",
        8,
        leading=10,
    )
    _questions(
        s,
        y,
        (
            (
                "15",
                "Do you certify that all of the answers on this Form 8867 are, to the best of your "
                "knowledge, true, correct, and complete?",
            ),
        ),
    )
    page_foot(s, 60, "", "", "Form 8867 (Rev. 11-2024)")
    s.turn()
