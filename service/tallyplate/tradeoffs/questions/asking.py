"""Open questions as they are asked: in words, with the answers, and what each answer would come to."""

from collections.abc import Iterable, Mapping

from msgspec import UNSET, Struct, UnsetType

from tallyplate import money
from tallyplate.findings.mends import settled
from tallyplate.tradeoffs.choices import Value
from tallyplate.tradeoffs.questions import words
from tallyplate.tradeoffs.questions.opening import Needs, Open, beside
from tallyplate.tradeoffs.questions.trials import FEWEST, Bench, Trial, errors, order


class Answer(Struct, frozen=True):
    """An answer in words, and the total of the order with it; one that cannot be priced has none."""

    value: Value
    words: str
    total: str | UnsetType = UNSET


class Impossible(Struct, frozen=True):
    """An answer with which the plate cannot be made as it stands, and why."""

    value: Value
    why: str


class Between(Struct, frozen=True):
    """A range, every value of which is an answer, and those that were tried; open at the end that is not said."""

    least: Value
    greatest: Value | UnsetType = UNSET
    tried: tuple[Answer, ...] = ()


class OpenQuestion(Struct, frozen=True, kw_only=True):
    """One open question, to be read out.

    Where nobody answers it, it is as `usual`; a question that is `needed` has no usual answer, and `supposed` stands in
    for it in every other price. `lowest` and `highest` are the totals of the order over its answers, everything else
    given or as usual; `decides` is the money between them. `impossible` names the answers that cannot be made.
    """

    pointer: str
    question: str
    why: str
    needed: bool
    choices: tuple[Answer, ...] | UnsetType = UNSET
    range: Between | UnsetType = UNSET
    usual: Value | UnsetType = UNSET
    supposed: Value | UnsetType = UNSET
    lowest: str
    highest: str
    decides: str
    currency: str
    impossible: tuple[Impossible, ...] = ()


def ask(bench: Bench, needs: Needs, start: Trial, one: Open) -> OpenQuestion:
    """A question of a plate, with each of its answers tried on it."""
    trials = beside(bench, start, one)
    ask_for, why = words.asked(one.pointer, one.field, needs.questions)
    totals = {value: order(bench, trial, FEWEST).total for value, trial in trials.items() if trial.work}
    given_words = {value: words.said(one.field.name, value, bench.shop) for value in trials}
    return question(
        one.pointer,
        (ask_for, why),
        given_words,
        totals,
        bench=bench,
        stands_in=one.stands_in,
        needed=one.needed,
        between=one.between,
        impossible=_impossible(bench, start, one.pointer, trials),
        otherwise=order(bench, start, FEWEST).total,
    )


def question(  # noqa: PLR0913 - what is said of a question
    pointer: str,
    asked: tuple[str, str],
    said: Mapping[Value, str],
    totals: Mapping[Value, int],
    *,
    bench: Bench,
    stands_in: Value | None,
    needed: bool,
    otherwise: int,
    between: bool = False,
    impossible: Iterable[Impossible] = (),
) -> OpenQuestion:
    """A question with its answers and their totals; `otherwise` is the total where it has none."""
    digits = bench.card.minor_digits
    tried = tuple(
        Answer(value, text, money.text(totals[value], digits) if value in totals else UNSET)
        for value, text in said.items()
    )
    lowest, highest = min(totals.values(), default=otherwise), max(totals.values(), default=otherwise)
    standing = UNSET if stands_in is None else stands_in
    return OpenQuestion(
        pointer=pointer,
        question=asked[0],
        why=asked[1],
        needed=needed,
        choices=UNSET if between else tried,
        range=Between(tried[0].value, tried[-1].value, tried) if between else UNSET,
        usual=UNSET if needed else standing,
        supposed=standing if needed else UNSET,
        lowest=money.text(lowest, digits),
        highest=money.text(highest, digits),
        decides=money.text(highest - lowest, digits),
        currency=bench.card.currency,
        impossible=tuple(impossible),
    )


def _impossible(bench: Bench, start: Trial, pointer: str, trials: Mapping[Value, Trial]) -> Iterable[Impossible]:
    """The answers that are refused, or that bring an error which the plate has not as it stands.

    What a plate that exists is, is no choice: it is as it is, whatever findings that brings.
    """
    before = errors(bench, start)
    as_it_is = pointer in settled(order(bench, start, FEWEST).build)
    for value, trial in trials.items():
        if trial.work is None:
            yield Impossible(value, words.reasons(trial.refused, bench.family.spec, bench.shop))
        elif as_it_is:
            continue
        elif added := [one.message for key, one in errors(bench, trial).items() if key not in before]:
            yield Impossible(value, "; ".join(dict.fromkeys(added)))
