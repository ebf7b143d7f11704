"""titles.toml is whole: every category that recipes name, each told apart from the others."""

from packets.intake.page_view import fold, tidy
from packets.intake.titles import known_categories, known_titles

WANTED = frozenset(
    {
        "form-1040",
        "form-1040-sr",
        "form-1040-x",
        "form-1040-nr",
        "voucher-1040-v",
        "voucher-1040-es",
        "schedule-1",
        "schedule-1-a",
        "schedule-2",
        "schedule-3",
        "schedule-a",
        "schedule-b",
        "schedule-c",
        "schedule-d",
        "schedule-e",
        "schedule-f",
        "schedule-h",
        "schedule-j",
        "schedule-r",
        "schedule-se",
        "schedule-eic",
        "schedule-8812",
        "form-2441",
        "form-4562",
        "form-4868",
        "form-8283",
        "form-8829",
        "form-8863",
        "form-8867",
        "form-8878",
        "form-8879",
        "form-8888",
        "form-8889",
        "form-8949",
        "form-8959",
        "form-8960",
        "form-8962",
        "form-8995",
        "form-8995-a",
        "form-8453",
        "form-2848",
        "form-8821",
        "form-4506-c",
        "w-2",
        "w-2g",
        "w-4",
        "w-9",
        "1098",
        "1098-c",
        "1098-e",
        "1098-t",
        "1099-int",
        "1099-div",
        "1099-b",
        "1099-r",
        "1099-g",
        "1099-misc",
        "1099-nec",
        "1099-k",
        "1099-s",
        "1099-q",
        "1099-c",
        "1099-a",
        "1099-oid",
        "1099-sa",
        "1099-patr",
        "1099-consolidated",
        "1095-a",
        "1095-b",
        "1095-c",
        "ssa-1099",
        "rrb-1099",
        "ss-5",
        "k-1-1065",
        "k-1-1120-s",
        "k-1-1041",
        "state-return",
        "voucher-state",
        "letter",
        "invoice",
        "engagement-letter",
        "consent-disclosure",
        "consent-use",
        "worksheet",
        "diagnostic",
        "bank-product",
        "identity",
        "bank-check",
        "bank-statement",
        "receipt",
        "organizer",
        "instructions",
        "blank",
    }
)


def test_every_category_of_the_trade_is_known() -> None:
    assert known_categories() >= WANTED


def test_categories_heads_and_names_are_each_written_once() -> None:
    forms = known_titles().forms
    assert len({form.category for form in forms}) == len(forms)
    for key in ("heads", "names", "marks"):
        words = [word for form in forms for word in getattr(form, key)]
        assert len(set(words)) == len(words), key


def test_words_are_written_as_pages_are_compared() -> None:
    for form in known_titles().forms:
        for words in (*form.heads, *form.names, *form.marks, *form.cues, *form.needs):
            assert words == fold(tidy(words)), form.category


def test_what_a_form_beats_is_itself_known() -> None:
    beaten = {lost for form in known_titles().forms for lost in form.over}
    assert beaten <= known_categories()


def test_all_states_and_the_district_are_there_longest_name_first() -> None:
    states = known_titles().states
    assert len({code for _, code in states}) == 51
    assert [len(name) for name, _ in states] == sorted((len(n) for n, _ in states), reverse=True)


def test_only_what_goes_out_with_a_payment_is_to_be_filed() -> None:
    filed = {form.category for form in known_titles().forms if form.to_be_filed}
    assert filed == {"voucher-1040-v", "voucher-1040-es", "voucher-state"}
