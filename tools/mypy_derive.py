"""A plugin of mypy that holds each call of `working.derive` to the parameters of its formula.

`derive` takes any formula and any inputs, so mypy alone sees only that the inputs are figures. This
plugin knows the formula that is named in the call: each input must be one of its parameters, none
may be left out, and one figure or several must be what the parameter takes. A parameter of type
`Sequence` takes several figures, any other one figure, a `tuple` one whose value has parts. And a
formula gives a Decimal just where the figure is in money.

A formula in a variable whose type says no parameters is passed over: nothing is known of it.
"""

from collections.abc import Callable, Iterator

from mypy.errorcodes import ARG_TYPE, CALL_ARG, ErrorCode
from mypy.nodes import ARG_STAR2, Expression, LambdaExpr
from mypy.plugin import FunctionContext, Plugin
from mypy.types import (
    AnyType,
    CallableType,
    Instance,
    Overloaded,
    ProperType,
    TupleType,
    Type,
    TypedDictType,
    TypeVarType,
    UnionType,
    get_proper_type,
)

DERIVE = "quotegen.working.derive"
FIGURE = "quotegen.working.Figure"
PARTIAL = "functools.partial"
SEQUENCE = "typing.Sequence"
OBJECT = "builtins.object"
DECIMAL = "decimal.Decimal"
NUMBERS = ("builtins.float", "builtins.int", DECIMAL)
MONEY = "GBP"
"""What the names of the units of money begin with."""

UNIT, FORMULA, INPUTS = 1, 2, 3
"""Where `derive` has the unit of its result, its formula and its inputs."""

Fault = tuple[str, Expression, ErrorCode]
"""What is said, of which part of the call, under which of mypy's codes."""


class DerivePlugin(Plugin):
    """Looks at every call of `derive`."""

    def get_function_hook(self, fullname: str) -> Callable[[FunctionContext], Type] | None:
        """The check, where it is `derive` that is called."""
        return _checked if fullname == DERIVE else None


def plugin(_version: str) -> type[Plugin]:
    """What mypy asks for by this name."""
    return DerivePlugin


def _checked(ctx: FunctionContext) -> Type:
    """Report what is wrong with a call; its result stays what mypy says."""
    if ctx.args[FORMULA]:
        for said, part, code in _faults(ctx):
            ctx.api.fail(said, part, code=code)
    return ctx.default_return_type


def _faults(ctx: FunctionContext) -> list[Fault]:
    named = ctx.args[FORMULA][0]
    formula = get_proper_type(ctx.arg_types[FORMULA][0])
    if isinstance(named, LambdaExpr) or _is(formula, PARTIAL):
        # Whoever reads a working finds its formula by name and calls it again.
        return [("A formula is a function with a name of its own", named, ARG_TYPE)]
    given: dict[str, tuple[Type, Expression]] = {}
    faults: list[Fault] = []
    for kind, name, type_, part in zip(
        ctx.arg_kinds[INPUTS],
        ctx.arg_names[INPUTS],
        ctx.arg_types[INPUTS],
        ctx.args[INPUTS],
        strict=True,
    ):
        spread = get_proper_type(type_)
        if kind is not ARG_STAR2 and name is not None:
            given[name] = type_, part
        elif isinstance(spread, TypedDictType):
            given.update({key: (item, part) for key, item in spread.items.items()})
        else:
            faults.append(("Inputs are spread from a TypedDict, or named", part, ARG_TYPE))
    known = [one for one in _signatures(formula) if _names_all(one)]
    if faults or not known:
        return faults
    unit = ctx.args[UNIT][0]
    is_money = _is_money(get_proper_type(ctx.arg_types[UNIT][0]))
    return min(
        ([*_misfits(one, given, named), *_coin(one, is_money, unit)] for one in known), key=len
    )


def _signatures(formula: ProperType) -> list[CallableType]:
    """The ways a formula can be called; none where its type says nothing."""
    if isinstance(formula, Overloaded):
        return list(formula.items)
    return [formula] if isinstance(formula, CallableType) else []


def _names_all(formula: CallableType) -> bool:
    """Whether the type of a formula says what its parameters are called."""
    stars = [kind.is_star() for kind in formula.arg_kinds]
    return not formula.is_ellipsis_args and all(
        star or name for star, name in zip(stars, formula.arg_names, strict=True)
    )


def _misfits(
    formula: CallableType, given: dict[str, tuple[Type, Expression]], named: Expression
) -> Iterator[Fault]:
    """Every input that is no parameter, every parameter without an input, every wrong count."""
    title = formula.name or "the formula"
    for name, (type_, part) in given.items():
        parameter = formula.argument_by_name(name)
        if parameter is None:
            yield f'"{name}" is no parameter of {title}', part, CALL_ARG
            continue
        takes = set(_takes(get_proper_type(parameter.typ)))
        for several in {_is_several(one) for one in _members(get_proper_type(type_))}:
            if several is not None and several not in takes:
                wants = "several figures" if True in takes else "one figure"
                gets = "several" if several else "one"
                yield f'"{name}" of {title} takes {wants}, and gets {gets}', part, ARG_TYPE
    for asked, kind in zip(formula.arg_names, formula.arg_kinds, strict=True):
        if kind.is_required() and asked not in given:
            yield f'"{asked}" of {title} is not given', named, CALL_ARG


def _is_money(unit: ProperType) -> bool | None:
    """Whether a unit is one of money; None where it is not a member named in the call."""
    if isinstance(unit, Instance) and unit.last_known_value is not None:
        return str(unit.last_known_value.value).startswith(MONEY)
    return None


def _coin(formula: CallableType, is_money: bool | None, unit: Expression) -> Iterator[Fault]:
    """What is wrong where a formula gives money for another unit, or a bare number for money."""
    gives = get_proper_type(formula.ret_type)
    if is_money is None or not any(_is(gives, number) for number in NUMBERS):
        return
    if _is(gives, DECIMAL) is not is_money:
        what = "no Decimal, which is not" if is_money else "a Decimal, which is"
        yield f"{formula.name or 'the formula'} gives {what} money", unit, ARG_TYPE


def _takes(parameter: ProperType) -> Iterator[bool]:
    """Whether a parameter takes several figures, or one; both where its type says neither."""
    for one in _members(parameter):
        if isinstance(one, AnyType | TypeVarType) or _is(one, OBJECT):
            yield from (True, False)
        else:
            yield _is(one, SEQUENCE)


def _is_several(given: ProperType) -> bool | None:
    """Whether what is given is several figures; None where its type does not say."""
    if _is(given, FIGURE):
        return False
    if isinstance(given, TupleType | Instance):
        return True
    return None


def _members(type_: ProperType) -> list[ProperType]:
    if isinstance(type_, UnionType):
        return [get_proper_type(item) for item in type_.items]
    return [type_]


def _is(type_: ProperType, fullname: str) -> bool:
    return isinstance(type_, Instance) and type_.type.fullname == fullname
