"""The benchmark runs, and both sides do what they are compared for. Nothing is timed here.

Nor weighed: Linux counts the size of the process that starts another one towards the
peak of the started one, and a test process is large. The script by itself is small.
"""

import sys

import pikepdf
import pypdfium2
import pytest
from hundred_pages import PLAIN_SCRIPT, compare, cost_of, told
from long_return import LINES, NUMBER, return_pdf, write_client_folder

PAGES = 3


def texts_of(pdf):
    with pypdfium2.PdfDocument(pdf) as document:
        for page in document:
            textpage = page.get_textpage()
            yield textpage.get_text_bounded()
            textpage.close()
            page.close()


@pytest.mark.benchmark
def test_a_build_and_the_plain_script_are_compared_in_one_run(tmp_path):
    comparison = compare(tmp_path, PAGES, rounds=1)
    assert f"ratio {comparison.ratio:.1f} by the clock" in told(comparison)
    client = tmp_path / "client-0"
    (packet,) = client.glob("outbound/*.pdf")
    (key,) = client.glob("keys/*.txt")
    with pikepdf.open(packet, password=key.read_text().strip()) as pdf:
        pdf.save(tmp_path / "open.pdf", encryption=False)
    shown = list(texts_of(tmp_path / "open.pdf"))
    assert sum(f"XXX-XX-{NUMBER[-4:]}" in text for text in shown) == PAGES
    assert not any(NUMBER in text for text in shown)


@pytest.mark.benchmark
def test_the_plain_script_does_its_part(tmp_path):
    source = write_client_folder(tmp_path / "client", PAGES)
    target = tmp_path / "plain.pdf"
    cost = cost_of([sys.executable, PLAIN_SCRIPT, source, target, NUMBER])
    assert cost.megabytes > 0
    assert not any(NUMBER in text for text in texts_of(target))


def test_each_page_of_the_long_return_holds_one_number_and_many_lines():
    texts = list(texts_of(return_pdf(PAGES)))
    assert [text.count(NUMBER) for text in texts] == [1] * PAGES
    assert all(len(text.splitlines()) > LINES for text in texts)
