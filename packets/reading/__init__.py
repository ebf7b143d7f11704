"""Words and glyph boxes of a page, rasters, OCR and barcodes."""
