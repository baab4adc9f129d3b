"""Label sheets as we draw them, and drawn the plain way: one rectangle a module, the same codes and text."""

import io

from labels.label_sheet import Label, label_sheet
from labels.stock import stock

COUNT = 240


def labels(count: int) -> list[Label]:
    """So many labels of one edition."""
    return [
        Label(
            f"P-{n:06d}",
            f"HTTPS://EXAMPLE.ORG/P/P-{n:06d}",
            "Žofie Đurđević",
            "Low water",
            (f"{n}/999", "gelatin silver contact print", "24.0 × 30.0 cm"),
            "For the sleeve, not the print",
        )
        for n in range(1, count + 1)
    ]


def our_labels() -> bytes:
    """240 labels."""
    return label_sheet(labels(COUNT), stock("a4-3x8"))


def size_of_labels() -> int:
    """The size of 1,000 labels in bytes."""
    return len(label_sheet(labels(1000), stock("a4-3x8")))


def naive_labels() -> bytes:
    """The same content by the libraries alone: every module of every code a rectangle of its own."""
    import qrcode
    from reportlab.pdfgen.canvas import Canvas

    out = io.BytesIO()
    canvas = Canvas(out)
    for place, label in enumerate(labels(COUNT)):
        left, top = (place % 3) * 198.0 + 6, 830 - (place // 3 % 8) * 105.0
        if place and place % 24 == 0:
            canvas.showPage()
        symbol = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_M, border=0)
        symbol.add_data(label.address)
        symbol.make()
        for y, line in enumerate(symbol.get_matrix()):
            for x, dark in enumerate(line):
                if dark:
                    canvas.rect(left + x * 1.3, top - y * 1.3, 1.3, 1.3, stroke=0, fill=1)
        for n, text in enumerate((label.code, label.heading, label.title, *label.lines, label.note)):
            canvas.setFont("Helvetica", 7)
            canvas.drawString(left + 50, top - n * 9, text)
    canvas.save()
    return out.getvalue()


def html_labels() -> bytes:
    """The same content by a library that lays out HTML: a grid of labels, each code a drawing of its own."""
    from html import escape

    import qrcode
    import weasyprint  # type: ignore[import-untyped]  # only where it is installed

    cells = []
    for label in labels(COUNT):
        symbol = qrcode.QRCode(error_correction=qrcode.constants.ERROR_CORRECT_M, border=0)
        symbol.add_data(label.address)
        matrix = symbol.get_matrix()
        dark = "".join(f"M{x} {y}h1v1h-1z" for y, line in enumerate(matrix) for x, on in enumerate(line) if on)
        code = f'<svg width="15mm" height="15mm" viewBox="0 0 {len(matrix)} {len(matrix)}"><path d="{dark}"/></svg>'
        text = "<br>".join(map(escape, (label.code, label.heading, label.title, *label.lines, label.note)))
        cells.append(f"<div class=label>{code}<p>{text}</p></div>")
    style = (
        "@page{size:A4;margin:0} body{margin:0;font:7pt sans-serif} .label{display:inline-block;width:70mm;height:37mm;"
        "box-sizing:border-box;padding:2mm;overflow:hidden;break-inside:avoid} svg{float:left} p{margin:0 0 0 18mm}"
    )
    found: bytes = weasyprint.HTML(string=f"<style>{style}</style>{''.join(cells)}").write_pdf()
    return found


MEMORY = """import resource, sys
sys.path.insert(0, {checkout!r})
from labels.label_sheet import label_sheet
from labels.stock import stock
from tests.benchmarks.papers import labels
label_sheet(labels({count}), stock("a4-3x8"))
kib = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / (1024 if sys.platform == "darwin" else 1)
print(kib / 1024)
"""


def memory_of_labels(count: int) -> float:
    """The most MiB that a process held which made so many labels and nothing else."""
    import subprocess
    import sys
    from pathlib import Path

    script = MEMORY.format(checkout=str(Path(__file__).parents[2]), count=count)
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, check=True, text=True)
    return float(done.stdout)
