"""The QR symbol: an address as a square that a telephone reads."""

import re
from dataclasses import dataclass

import qrcode
from qrcode.constants import ERROR_CORRECT_L, ERROR_CORRECT_M
from qrcode.util import BIT_LIMIT_TABLE, MODE_8BIT_BYTE, MODE_ALPHA_NUM, QRData, length_in_bits

from labels.errors import AddressTooLong
from labels.geometry import points

QUIET_ZONE = 4  # modules on every side, ISO/IEC 18004
LEAST_MODULE = 0.33  # mm; still read with blur and a slant (measured), 0.25 mm is not
DENSE_MODULE = 0.38  # mm; the least of a symbol with hundreds of characters, where one spoilt module costs more
PRINTER_DOT = 25.4 / 600  # mm; a module of whole printer dots has the same width everywhere

# One mask for all: choosing the best of eight takes most of the time, and this one was read as well as the best
# (measured).
_MASK = 4
_LEVELS = {"M": ERROR_CORRECT_M, "L": ERROR_CORRECT_L}
_DARK = re.compile(b"\x01+")


@dataclass(frozen=True, slots=True)
class QrSymbol:
    """A symbol: modules along one side without quiet zone, and its dark runs as rectangles in module units."""

    modules: int
    path: str

    @property
    def version(self) -> int:
        """Version 1 to 40, ISO/IEC 18004: side = 17 + 4 x version."""
        return (self.modules - 17) // 4

    def module_within(self, room: float, largest: float = 1.0, quiet: bool = True) -> float:
        """The largest module in mm, a whole number of printer dots, that fits `room` mm.

        With `quiet` the quiet zone must fit too; without, the caller leaves it white. 0.0 when even the least
        readable module is too large.
        """
        across = self.modules + (2 * QUIET_ZONE if quiet else 0)
        dots = int(min(room / across, largest) / PRINTER_DOT + 1e-6)
        module = dots * PRINTER_DOT
        return module if module >= LEAST_MODULE else 0.0


def qr_symbol(payload: str, correction: str = "M") -> QrSymbol:
    """The symbol for `payload` at error correction M or L, in the smallest version that holds it.

    Upper-case payloads are coded alphanumerically and come out smaller. Raises `AddressTooLong` beyond the
    capacity of version 40.
    """
    # One segment in the most compact mode that holds all of it; splitting saves nothing at these lengths.
    data = QRData(payload)
    version = _version(payload, data, correction)
    code: qrcode.QRCode = qrcode.QRCode(version, error_correction=_LEVELS[correction], mask_pattern=_MASK)
    code.add_data(data)
    code.make(fit=False)
    return QrSymbol(code.modules_count, _row_runs(code.modules))


def empty_symbol(payload: str, correction: str = "M") -> QrSymbol:
    """A symbol of the size `payload` needs with nothing in it, for measuring. Raises `AddressTooLong`."""
    return QrSymbol(17 + 4 * _version(payload, QRData(payload), correction), "")


def dense_level(payload: str, room: float) -> str:
    """M where the symbol's modules stay at `DENSE_MODULE` or more in `room` mm (without quiet zone), else L."""
    module = empty_symbol(payload).module_within(room, quiet=False)
    return "M" if module >= DENSE_MODULE else "L"


def _version(payload: str, data: QRData, correction: str) -> int:
    """The least version that holds the data: mode, length and data (ISO/IEC 18004, 7.4) against its capacity."""
    bits = {MODE_8BIT_BYTE: 8 * len(data), MODE_ALPHA_NUM: -(-11 * len(data) // 2)}.get(
        data.mode, -(-10 * len(data) // 3)
    )
    for version in range(1, 41):
        if 4 + length_in_bits(data.mode, version) + bits <= BIT_LIMIT_TABLE[_LEVELS[correction]][version]:
            return version
    raise AddressTooLong(payload, 177 * LEAST_MODULE, LEAST_MODULE)


def _row_runs(matrix: list[list[bool]]) -> str:
    """Dark modules as one rectangle a run, y counted upwards from the bottom row as PDF does."""
    return "\n".join(
        [
            f"{run.start()} {y} {run.end() - run.start()} 1 re"
            for y, row in zip(range(len(matrix) - 1, -1, -1), matrix, strict=True)
            for run in _DARK.finditer(bytes(row))
        ]
    )


def drawing_operators(symbol: QrSymbol, left: float, bottom: float, module: float) -> str:
    """PDF operators that draw `symbol`, its lower left dark corner at `left`, `bottom` points, `module` in mm."""
    scale = points(module)
    return f"q {scale:.5f} 0 0 {scale:.5f} {left:.2f} {bottom:.2f} cm 0 g\n{symbol.path}\nf Q"


def side_in_points(symbol: QrSymbol, module: float) -> float:
    """Side of the dark square in points, quiet zone not counted."""
    return points(symbol.modules * module)


def quiet_in_points(module: float) -> float:
    """Width of the quiet zone in points."""
    return points(QUIET_ZONE * module)
