"""The amounts of a return, carried from form to form as the forms themselves say.

The figures are invented. Tax is worked out roughly: rates, brackets and thresholds for
tax year 2025 as commonly published, without the many rules that these people do not meet.
Amounts on returns are whole dollars; amounts on the payers' papers are in cents.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

Bracket = tuple[int, Decimal]

JOINT_BRACKETS: tuple[Bracket, ...] = (
    (0, Decimal("0.10")),
    (23_850, Decimal("0.12")),
    (96_950, Decimal("0.22")),
    (206_700, Decimal("0.24")),
)
SINGLE_BRACKETS: tuple[Bracket, ...] = (
    (0, Decimal("0.10")),
    (11_925, Decimal("0.12")),
    (48_475, Decimal("0.22")),
    (103_350, Decimal("0.24")),
)
STANDARD_DEDUCTION = {"joint": 31_500, "single": 15_750}
CHILD_CREDIT = 2_200


def whole(amount: Decimal) -> int:
    """Rounds to whole dollars, 50 cents upwards, as the return's instructions say."""
    return int(amount.quantize(Decimal(1), ROUND_HALF_UP))


def cents(amount: Decimal) -> Decimal:
    """Rounds to cents."""
    return amount.quantize(Decimal("0.01"), ROUND_HALF_UP)


def table_tax(taxable: int, brackets: tuple[Bracket, ...]) -> int:
    """Tax as the Tax Table has it: at the middle of a 50-dollar step, below 100,000."""
    base = Decimal(taxable // 50 * 50 + 25) if 3_000 <= taxable < 100_000 else Decimal(taxable)
    tax = Decimal(0)
    for index, (floor, rate) in enumerate(brackets):
        ceiling = brackets[index + 1][0] if index + 1 < len(brackets) else None
        top = base if ceiling is None else min(base, Decimal(ceiling))
        tax += max(Decimal(0), top - floor) * rate
    return whole(tax)


@dataclass(frozen=True)
class Wages:
    """One W-2. `gross` is what social security and Medicare are worked out on."""

    gross: Decimal
    deferred: Decimal
    federal: Decimal
    state_tax: Decimal = Decimal(0)
    local_rate: Decimal = Decimal(0)

    @property
    def box1(self) -> Decimal:
        return self.gross - self.deferred

    @property
    def social_security(self) -> Decimal:
        return cents(self.gross * Decimal("0.062"))

    @property
    def medicare(self) -> Decimal:
        return cents(self.gross * Decimal("0.0145"))

    @property
    def local_tax(self) -> Decimal:
        return cents(self.gross * self.local_rate)


@dataclass(frozen=True)
class Business:
    """Schedule C. Keys of `expenses` are its line numbers; `other` is Part V."""

    receipts: int
    returns: int
    opening: int
    purchases: int
    materials: int
    closing: int
    expenses: dict[str, int]
    other: tuple[tuple[str, int], ...]

    @property
    def cost_of_goods(self) -> int:
        return self.opening + self.purchases + self.materials - self.closing

    @property
    def gross_income(self) -> int:
        return self.receipts - self.returns - self.cost_of_goods

    @property
    def other_total(self) -> int:
        return sum(amount for _, amount in self.other)

    @property
    def expense_total(self) -> int:
        return sum(self.expenses.values()) + self.other_total

    @property
    def profit(self) -> int:
        return self.gross_income - self.expense_total


@dataclass(frozen=True)
class Figures:
    """What went in, and every line that follows from it."""

    status: str
    wages: tuple[Wages, ...]
    interest: tuple[tuple[str, Decimal], ...] = ()
    dividends: tuple[tuple[str, Decimal], ...] = ()
    qualified: Decimal = Decimal(0)
    business: Business | None = None
    student_loan: int = 0
    children: int = 0
    estimated: int = 0

    @property
    def wage_total(self) -> int:
        return sum(whole(w.box1) for w in self.wages)

    @property
    def withheld(self) -> int:
        return sum(whole(w.federal) for w in self.wages)

    @property
    def interest_total(self) -> int:
        return sum(whole(amount) for _, amount in self.interest)

    @property
    def dividend_total(self) -> int:
        return sum(whole(amount) for _, amount in self.dividends)

    @property
    def profit(self) -> int:
        return self.business.profit if self.business else 0

    @property
    def se_base(self) -> int:
        """Schedule SE, line 4a."""
        return whole(self.profit * Decimal("0.9235"))

    @property
    def se_social_security(self) -> int:
        return whole(self.se_base * Decimal("0.124"))

    @property
    def se_medicare(self) -> int:
        return whole(self.se_base * Decimal("0.029"))

    @property
    def se_tax(self) -> int:
        return self.se_social_security + self.se_medicare

    @property
    def se_half(self) -> int:
        return whole(Decimal(self.se_tax) / 2)

    @property
    def adjustments(self) -> int:
        return self.se_half + self.student_loan

    @property
    def total_income(self) -> int:
        return self.wage_total + self.interest_total + self.dividend_total + self.profit

    @property
    def agi(self) -> int:
        return self.total_income - self.adjustments

    @property
    def standard(self) -> int:
        return STANDARD_DEDUCTION[self.status]

    @property
    def qbi_income(self) -> int:
        return self.profit - self.se_half if self.business else 0

    @property
    def qbi(self) -> int:
        """Form 8995, line 15: a fifth of business income, capped by income before it."""
        before = self.agi - self.standard - whole(self.qualified)
        return min(whole(self.qbi_income * Decimal("0.2")), whole(before * Decimal("0.2")))

    @property
    def taxable(self) -> int:
        return max(0, self.agi - self.standard - self.qbi)

    @property
    def brackets(self) -> tuple[Bracket, ...]:
        return JOINT_BRACKETS if self.status == "joint" else SINGLE_BRACKETS

    @property
    def tax(self) -> int:
        """Line 16. Qualified dividends fall in the zero-rate band for these people."""
        return table_tax(self.taxable - whole(self.qualified), self.brackets)

    @property
    def plain_tax(self) -> int:
        """Tax on all taxable income at ordinary rates, for the worksheet's comparison."""
        return table_tax(self.taxable, self.brackets)

    @property
    def child_credit(self) -> int:
        return min(self.children * CHILD_CREDIT, self.tax)

    @property
    def total_tax(self) -> int:
        return self.tax - self.child_credit + self.se_tax

    @property
    def payments(self) -> int:
        return self.withheld + self.estimated

    @property
    def refund(self) -> int:
        return max(0, self.payments - self.total_tax)

    @property
    def owed(self) -> int:
        return max(0, self.total_tax - self.payments)


@dataclass(frozen=True)
class OhioFigures:
    """The state return: a rough Ohio IT 1040."""

    federal: Figures
    exemptions: int

    @property
    def deductions(self) -> int:
        """Business income, all of it below the state's limit."""
        return self.federal.profit

    @property
    def agi(self) -> int:
        return self.federal.agi - self.deductions

    @property
    def exemption_total(self) -> int:
        return self.exemptions * (1_900 if self.agi > 80_000 else 2_150)

    @property
    def base(self) -> int:
        return self.agi - self.exemption_total

    @property
    def tax(self) -> int:
        return whole(Decimal(342) + (self.base - 26_050) * Decimal("0.0275"))

    @property
    def joint_credit(self) -> int:
        """Five per cent, at most 650, where both spouses earn and base passes 75,000."""
        return min(650, whole(self.tax * Decimal("0.05")))

    @property
    def tax_after_credits(self) -> int:
        return self.tax - self.joint_credit

    @property
    def withheld(self) -> int:
        return sum(whole(w.state_tax) for w in self.federal.wages)

    @property
    def refund(self) -> int:
        return max(0, self.withheld - self.tax_after_credits)
