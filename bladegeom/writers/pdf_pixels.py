"""Pixels in a PDF, compressed as a PNG is: the same pixels give the same bytes, and stand in the document once.

Source: PDF 1.7 (ISO 32000-1), tables 8 and 89, and 7.4.4.4 (predictors): 15 with each row told as its difference from
the one above, which is type 2 in PNG.
"""

from __future__ import annotations

import hashlib
import zlib

import numpy as np
from reportlab.pdfbase.pdfdoc import PDFDictionary, PDFDocument, PDFName, PDFStream

from bladegeom.pictures.png import Pixels

_UP = 2


def place_pixels(document: PDFDocument, pixels: Pixels) -> str:
    """Put pixels into a document, once however often they are shown; the name under which it holds them.

    Args:
        document: That gets them.
        pixels: Red, green and blue in rows from the top, shape (rows, columns, 3).
    """
    name = hashlib.sha256(pixels.tobytes()).hexdigest()[:16]
    if not document.hasForm(name):
        document.addForm(name, _stream(pixels))
    return name


def _stream(pixels: Pixels) -> PDFStream:
    rows, columns, colours = pixels.shape
    flat = pixels.reshape(rows, -1)
    told = np.full((rows, 1 + flat.shape[1]), _UP, dtype=np.uint8)
    told[0, 1:] = flat[0]
    np.subtract(flat[1:], flat[:-1], out=told[1:, 1:])
    entries = {
        "Type": PDFName("XObject"),
        "Subtype": PDFName("Image"),
        "Width": columns,
        "Height": rows,
        "ColorSpace": PDFName("DeviceRGB"),
        "BitsPerComponent": 8,
        "Filter": PDFName("FlateDecode"),
        "DecodeParms": PDFDictionary({"Predictor": 15, "Colors": colours, "BitsPerComponent": 8, "Columns": columns}),
    }
    return PDFStream(PDFDictionary(entries), zlib.compress(told.tobytes()))
