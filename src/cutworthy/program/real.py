"""Real values: numbers, parameters, expressions and functions (NISTIR 6556, 3.3.2 and Appendix E).

A value is read once into a function of the parameters, so that a line that runs a thousand times
in a loop is read once. A value that rests on something nobody knows is NaN, and so is everything
worked out from it; what mathematics does not allow is an error.
"""

import math
import re
from collections.abc import Callable, Mapping

from cutworthy.program.problems import NOTHING, LineError

__all__ = ["LARGEST", "NEAR", "NUMBER", "Parameters", "Rule", "Value", "parameter_key", "read_value"]

# No digit is ever given back, so that a long run of digits is read once (NISTIR 6556, E.2).
NUMBER = r"[+-]?(?:\d++(?:\.\d*+)?|\.\d++)"
LARGEST = 1e9  # our choice: a thousand kilometres, and far from where arithmetic breaks
# How near to a whole number a number that must be whole has to be (NISTIR 6556, 3.3.2.1).
NEAR = 1e-4
LAST_PARAMETER = 5399  # 3.3.2.2
MOST_VALUES = 150  # in one word; our choice: a line of 256 characters has no room for more

Parameters = Mapping[int, float]
Value = Callable[[Parameters], float]
Pair = Callable[[float, float], float]
Rule = Callable[[str], None]

_NUMBER = re.compile(NUMBER)
_FUNCTION = re.compile("ABS|ACOS|ASIN|ATAN|COS|EXP|FIX|FUP|LN|ROUND|SIN|SQRT|TAN")
_OPERATION = re.compile(r"\*\*|\*|/|MOD|\+|-|OR|XOR|AND")
_SIGNED = re.compile(r"[+-](?=[#\[A-Z])")


def read_value(text: str, at: int, lean_on: Rule) -> tuple[Value | float, int]:
    """Return the real value that begins at ``at`` and where it ends; ``at`` itself when none begins there.

    A plain number is returned as it is. ``lean_on`` is told the rule of practice that the value leans on.

    Raises
    ------
    LineError
        When the value begins well and ends badly, or holds too many others.
    """
    return _Reader(text, lean_on).value(at)


def parameter_key(number: float) -> int:
    """Return the number of a parameter."""
    key = round(number)
    if abs(number - key) > NEAR or not 1 <= key <= LAST_PARAMETER:
        raise LineError(case="no-parameter", numbers={"value": number, "limit": LAST_PARAMETER})
    return key


class _Reader:
    """Reads the value of one word."""

    def __init__(self, text: str, lean_on: Rule) -> None:
        self.text = text
        self.lean_on = lean_on
        self.count = 0

    def value(self, at: int) -> tuple[Value | float, int]:
        self.count += 1
        if self.count > MOST_VALUES:
            raise LineError(case="value-long", numbers={"column": at + 1, "limit": MOST_VALUES})
        text = self.text
        number = _NUMBER.match(text, at)
        if number:
            return float(number[0]), number.end()
        if text.startswith("[", at):
            return self.expression(at)
        if text.startswith("#", at):
            inner, end = self.value(at + 1)
            if end == at + 1:
                raise self.open(at)
            return _parameter(inner), end
        function = _FUNCTION.match(text, at)
        if function:
            return self.function(function[0], function.end())
        signed = _SIGNED.match(text, at)
        if signed:
            inner, end = self.value(at + 1)
            if end > at + 1:
                self.lean_on("sign-before-value")
                return (_negative(inner) if text[at] == "-" else inner), end
        return 0.0, at

    def expression(self, at: int) -> tuple[Value | float, int]:
        """Read what stands between brackets: equal ranks from left to right, also ``**``."""
        values: list[Value | float] = []
        operations: list[str] = []
        begin, at = at, at + 1
        while True:
            value, end = self.value(at)
            if end == at:
                raise self.open(begin)
            values.append(value)
            if self.text.startswith("]", end):
                break
            operation = _OPERATION.match(self.text, end)
            if operation is None:
                raise self.open(begin)
            operations.append(operation[0])
            at = operation.end()
        for rank in RANKS:
            values, operations = _applied(rank, values, operations)
        return values[0], end + 1

    def function(self, name: str, at: int) -> tuple[Value | float, int]:
        if not self.text.startswith("[", at):
            raise self.open(at)
        inner, at = self.expression(at)
        if name != "ATAN":
            return _of_one(FUNCTIONS[name], inner), at
        if not self.text.startswith("/[", at):
            raise self.open(at)
        beside, at = self.expression(at + 1)
        return _of_two(_atan, inner, beside), at

    def open(self, at: int) -> LineError:
        """Return the error of a value that does not go on as it must."""
        return LineError(case="bracket-open", quote=self.text[at:], unfinished=True, numbers={"column": at + 1})


def _applied(
    rank: Mapping[str, Pair], values: list[Value | float], operations: list[str]
) -> tuple[list[Value | float], list[str]]:
    """Return values and operations with those of one rank carried out."""
    if not any(operation in rank for operation in operations):
        return values, operations
    left, kept = values[:1], []
    for operation, value in zip(operations, values[1:], strict=True):
        if operation in rank:
            left[-1] = _of_two(rank[operation], left[-1], value)
        else:
            left.append(value)
            kept.append(operation)
    return left, kept


def _parameter(number: Value | float) -> Value:
    if isinstance(number, float):
        key = parameter_key(number)
        return lambda parameters: parameters[key]

    def read(parameters: Parameters) -> float:
        found = number(parameters)
        return found if math.isnan(found) else parameters[parameter_key(found)]

    return read


def _negative(value: Value | float) -> Value | float:
    return -value if isinstance(value, float) else lambda parameters: -value(parameters)


def _of_one(work: Callable[[float], float], value: Value | float) -> Value | float:
    """Return the function of a value, worked out at once where the value is a number."""
    if isinstance(value, float):
        return _sound(work, value)
    return lambda parameters: _sound(work, value(parameters))


def _of_two(work: Pair, first: Value | float, second: Value | float) -> Value | float:
    if isinstance(first, float):
        if isinstance(second, float):
            return _sound(work, first, second)
        return lambda parameters: _sound(work, first, second(parameters))
    if isinstance(second, float):
        return lambda parameters: _sound(work, first(parameters), second)
    return lambda parameters: _sound(work, first(parameters), second(parameters))


def _sound(work: Callable[..., float], *values: float) -> float:
    """Return what comes of the values: NaN from one that nobody knows, else a finite number.

    Raises
    ------
    LineError
        When mathematics does not allow it, or the result is beyond all reason (hole H10 of the report).
    """
    try:
        result = work(*values)
    except (ValueError, ZeroDivisionError):
        raise LineError(case="no-value", numbers=NOTHING) from None
    except OverflowError:
        raise LineError(case="number-too-large", numbers={"limit": LARGEST}) from None
    if math.isfinite(result):
        return result
    if any(map(math.isnan, values)):
        return math.nan
    raise LineError(case="number-too-large", numbers={"limit": LARGEST})


def _modulo(first: float, second: float) -> float:
    """Return the remainder, which is never negative (hole H9 of the report)."""
    return first % abs(second)


def _power(first: float, second: float) -> float:
    if math.isnan(first) or math.isnan(second):  # where mathematics knows an answer, the control may not
        return math.nan
    return math.pow(first, second)


def _logic(decide: Callable[[bool, bool], bool]) -> Pair:
    def work(first: float, second: float) -> float:
        return math.nan if math.isnan(first + second) else float(decide(first != 0, second != 0))

    return work


def _round(value: float) -> float:
    """Return the nearest whole number, halves away from zero (hole H9 of the report)."""
    return math.copysign(_fix(abs(value) + 0.5), value)


def _fix(value: float) -> float:
    return value if math.isnan(value) else float(math.floor(value))


def _fup(value: float) -> float:
    return value if math.isnan(value) else float(math.ceil(value))


def _atan(first: float, second: float) -> float:
    return math.degrees(math.atan2(first, second))


RANKS: tuple[Mapping[str, Pair], ...] = (
    {"**": _power},
    {"*": lambda a, b: a * b, "/": lambda a, b: a / b, "MOD": _modulo},
    {
        "+": lambda a, b: a + b,
        "-": lambda a, b: a - b,
        "OR": _logic(lambda a, b: a or b),
        "XOR": _logic(lambda a, b: a != b),
        "AND": _logic(lambda a, b: a and b),
    },
)
FUNCTIONS: Mapping[str, Callable[[float], float]] = {
    "ABS": abs,
    "ACOS": lambda x: math.degrees(math.acos(x)),
    "ASIN": lambda x: math.degrees(math.asin(x)),
    "COS": lambda x: math.cos(math.radians(x)),
    "EXP": math.exp,
    "FIX": _fix,
    "FUP": _fup,
    "LN": math.log,
    "ROUND": _round,
    "SIN": lambda x: math.sin(math.radians(x)),
    "SQRT": math.sqrt,
    "TAN": lambda x: math.tan(math.radians(x)),
}
