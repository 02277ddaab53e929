"""Standard output is data, standard error is talk."""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Iterable
from typing import Any

from divelog.profiles.document import Fault
from divelog.text import json_escaped, shown


def _clean(value: Any) -> Any:
    """JSON has no NaN or infinity (RFC 8259): such a number is null."""
    if isinstance(value, float) and not math.isfinite(value):
        return None
    if isinstance(value, dict):
        return {str(k): _clean(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_clean(v) for v in value]
    return value


def json_text(value: Any) -> str:
    """One JSON object, keys sorted, UTF-8, no NaN or infinity, nothing in it that commands a terminal."""
    return json_escaped(json.dumps(_clean(value), ensure_ascii=False, sort_keys=True, allow_nan=False))


def say(text: str = "") -> None:
    """One line of data."""
    print(text)


def data(value: Any) -> None:
    """One JSON object as data."""
    sys.stdout.write(json_text(value) + "\n")


def tell(text: str) -> None:
    """One line of talk."""
    print(text, file=sys.stderr)


def tell_faults(faults: Iterable[Fault]) -> None:
    """Every fault, a line each, harmless to the terminal."""
    for fault in faults:
        tell(shown(fault.sentence()))


def fault_data(fault: Fault) -> dict[str, Any]:
    """A fault as ``divelog.faults/1`` has it."""
    return {
        "file": fault.file,
        "line": fault.line,
        "path": fault.path,
        "found": fault.found,
        "wanted": fault.wanted,
    }
