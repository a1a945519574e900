"""Reads a say-it line into what it describes, or says what is wrong with it and where.

    line   = [chain ":"] [chain | beside]
    chain  = term { "+" term }        beside = term { "∥" term }
    term   = [count "×"] (part | "(" chain | beside ")") [["in"] "series" | ["in"] "parallel"]
    part   = [name "="] value ["(" extra { "," extra } ")"] | name-on-sheet ["(" extra { "," extra } ")"]

Brackets may be square and curly ones too. + and ∥ never stand side by side without brackets: which of the two binds is
what a class has yet to learn. A repeat is joined as what it stands among is; alone, it has to say how. Nothing typed is
ever evaluated.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Final

from solver.kinds import KINDS
from solver.quantities import Quantity
from solver.say_it import faults
from solver.say_it.description import (
    Branch,
    Description,
    Item,
    Series,
    all_items,
    in_parallel,
    in_series,
    items,
)
from solver.say_it.faults import DEEPEST, LONGEST, MOST, LineFaults, Mistakes
from solver.say_it.item_text import read_item
from solver.say_it.tokens import Token, closes, tokens
from solver.value_faults import with_article

# A whole number and a times sign, which no power of ten follows: 3 × 10³ Ω is one value.
_REPEAT: Final = re.compile(r"([0-9]+)\s*[×x*✕✖]\s*(?!\s*10\s*(?:\^|\*\*|[⁺⁻⁰¹²³⁴-⁹]))", re.IGNORECASE)
_JOINING: Final = re.compile(r"(?:^|\s+)((?:in\s+)?(series|parallel))$", re.IGNORECASE)
_JOIN: Final = {"series": in_series, "parallel": in_parallel}
_SHOWN: Final = 48
_NONE_KNOWN: Final[Mapping[str, Item]] = MappingProxyType({})


def parse(line: str, known: Mapping[str, Item] = _NONE_KNOWN) -> Description:
    """What a line describes. Raises LineFaults, which offer no line that would be refused again.

    A bare name of a `known` part is that part, with its value and what else is said of it.

    >>> line = parse("9 V : 30 µF + (10 µF // 5 µF)")
    >>> line.source[0].value, len(line.network.members), [item.value for item in line.network.members[1].members]
    ('9 V', 2, ['10 µF', '5 µF'])
    """
    try:
        return _read(line, known)
    except LineFaults as refusal:
        raise refusal.offering(lambda offered: _is_read(offered, known)) from None


def _is_read(line: str, known: Mapping[str, Item]) -> bool:
    try:
        _read(line, known)
    except LineFaults:
        return False
    return True


def _read(line: str, known: Mapping[str, Item]) -> Description:
    mistakes = Mistakes()
    if len(line) > LONGEST:
        raise mistakes.stop("line-too-long", faults.too_long(), (LONGEST, len(line)))
    if not line.strip():
        raise mistakes.stop("line-empty", faults.no_network(), (0, 0))
    found = tokens(line)
    colons = [index for index, token in enumerate(found) if token.sort == "colon"]
    if len(colons) > 1:
        raise mistakes.stop("line-colon", faults.second_colon(), found[colons[1]].span)
    reader = _Reader(line, mistakes, known)
    description = reader.with_batteries(found, colons[0]) if colons else reader.without_colon(found)
    if not mistakes.found:
        return description
    raise LineFaults(mistakes.found)


@dataclass(frozen=True, slots=True)
class _Term:
    """A branch and where it stands; `count` is above 1 where it is repeated, `how` what its words say of that."""

    branch: Branch
    start: int
    end: int
    count: int = 1
    how: str | None = None

    @property
    def span(self) -> tuple[int, int]:
        return self.start, self.end


class _Reader:
    """Reads one side of a line after the other."""

    def __init__(self, line: str, mistakes: Mistakes, known: Mapping[str, Item]) -> None:
        self.line = line
        self.known = known
        self.mistakes = mistakes
        self.parts = 0
        self.names: set[str] = set()
        self.spans: list[tuple[Item, Token]] = []
        self.tokens: list[Token] = []
        self.place = 0
        self.quantity: Quantity | None = None

    # The sides of the colon

    def with_batteries(self, found: list[Token], colon: int) -> Description:
        sign = found[colon]
        if colon == 0:
            raise self.mistakes.stop("line-battery", faults.no_battery_before_colon(), sign.span)
        end = found[colon - 1].end
        source = self._side([*found[:colon], Token("end", "", end, end)], Quantity.EMF)
        if not isinstance(source, Item | Series) or not all(isinstance(each, Item) for each in _chain(source)):
            raise self.mistakes.stop("line-battery", faults.batteries_side_by_side(), (found[0].start, end))
        self.spans.clear()
        network = self._side(found[colon + 1 :], None) if len(found) > colon + 2 else None
        for item, text in self.spans:
            if item.kind == "battery":
                self.mistakes.note("line-battery", faults.battery_after_colon(text.text), text.span)
        return Description(tuple(items(source)), network)

    def without_colon(self, found: list[Token]) -> Description:
        network = self._side(found, None)
        chain = _chain(network)
        batteries = [item for item in items(network) if item.kind == "battery"]
        if len(batteries) == len(chain) and all(item in batteries for item in chain):
            return Description(tuple(batteries), None)
        for item, text in self.spans:
            if item.kind == "battery":
                raise self.mistakes.stop(
                    "line-battery",
                    faults.battery_without_colon(text.text),
                    text.span,
                    self._battery_first(found, text) if len(batteries) == 1 else (),
                )
        return Description((), network)

    def _battery_first(self, found: list[Token], battery: Token) -> tuple[str, ...]:
        """The line with its one battery put before a colon, where it stands first or last outside all brackets."""
        first, last = found[0], found[-2]
        if battery is first and found[1].sort in ("series", "parallel"):
            rest = self.line[found[1].end :]
        elif battery is last and found[-3].sort in ("series", "parallel"):
            rest = self.line[: found[-3].start]
        else:
            return ()
        return (f"{battery.text} : {rest.strip()}",)

    def _side(self, found: list[Token], quantity: Quantity | None) -> Branch:
        self.tokens, self.place, self.quantity = found, 0, quantity
        branch = self._network(0)
        if self._next.sort == "closing":
            raise self.mistakes.stop("line-brackets", faults.closes_nothing(), self._next.span)
        return branch

    # Chains, terms, parts

    @property
    def _next(self) -> Token:
        return self.tokens[self.place]

    def _take(self) -> Token:
        token = self.tokens[self.place]
        self.place += 1
        return token

    def _network(self, depth: int) -> Branch:
        terms = [self._term(depth, None)]
        signs: list[Token] = []
        while self._next.sort in ("series", "parallel"):
            signs.append(self._take())
            terms.append(self._term(depth, signs[-1]))
        if self._next.sort in ("text", "opening"):
            raise self.mistakes.stop("line-sign", faults.sign_missing(), (terms[-1].end, self._next.start))
        sorts = {sign.sort for sign in signs}
        if len(sorts) == 2:
            raise self._mixed(terms, signs)
        if not signs:
            return self._alone(terms[0])
        join = _JOIN[signs[0].sort]
        return join([branch for term in terms for branch in self._repeated(term)])

    def _repeated(self, term: _Term) -> list[Branch]:
        copies = [term.branch] * term.count
        return copies if term.how is None else [_JOIN[term.how](copies)]

    def _alone(self, term: _Term) -> Branch:
        if term.count == 1 or term.how:
            return self._repeated(term)[0]
        if self.quantity is Quantity.EMF or self.mistakes.are_within(term.span):
            return in_series(self._repeated(term))
        text = self.line[term.start : term.end]
        lines = (f"{self.line[: term.end]} in {how}{self.line[term.end :]}" for how in _JOIN)
        raise self.mistakes.stop("line-repeat", faults.which_joining(_short(text)), term.span, tuple(lines))

    def _term(self, depth: int, sign: Token | None) -> _Term:
        token = self._next
        if token.sort == "text":
            return self._text_term(depth, self._take())
        if token.sort == "opening":
            branch, end = self._group(depth)
            return self._with_words(_Term(branch, token.start, end))
        if sign is not None:
            raise self.mistakes.stop("line-sign", faults.nothing_after(sign.text), sign.span)
        if token.sort in _JOIN:
            raise self.mistakes.stop("line-sign", faults.nothing_before(token.text), token.span)
        if token.sort == "closing" and self.place:
            before = self.tokens[self.place - 1]
            raise self.mistakes.stop("line-brackets", faults.empty_brackets(), (before.start, token.end))
        if token.sort == "closing":
            raise self.mistakes.stop("line-brackets", faults.closes_nothing(), token.span)
        raise self.mistakes.stop("line-empty", faults.no_network(), token.span)

    def _group(self, depth: int) -> tuple[Branch, int]:
        """A network in brackets, and where the closing one ends."""
        opening = self._take()
        if depth == DEEPEST:
            raise self.mistakes.stop("line-brackets", faults.too_deep(), opening.span)
        if self._next.sort == "end":
            raise self.mistakes.stop("line-brackets", faults.not_closed(), opening.span)
        branch = self._network(depth + 1)
        return branch, self._closed(opening).end

    def _closed(self, opening: Token) -> Token:
        """The bracket that closes another one, taken."""
        token = self._next
        if token.sort != "closing":
            raise self.mistakes.stop("line-brackets", faults.not_closed(), opening.span)
        if not closes(opening, token):
            raise self.mistakes.stop("line-brackets", faults.closed_by_another(opening.text, token.text), token.span)
        return self._take()

    def _text_term(self, depth: int, text: Token) -> _Term:
        count = 1
        body = text
        if repeat := _REPEAT.match(text.text):
            count = self._count(repeat[1], text.portion(0, repeat.end(1)))
            body = text.portion(repeat.end(), len(text.text))
            if not body.text:
                if self._next.sort != "opening":
                    raise self.mistakes.stop("line-sign", faults.nothing_after("×"), text.span)
                branch, end = self._group(depth)
                return self._with_words(self._counted(_Term(branch, text.start, end, count), text))
        how, words = None, None
        if joining := _JOINING.search(body.text):
            how, words = joining[2].lower(), body.portion(joining.start(1), joining.end(1))
            body = body.portion(0, joining.start())
        extras = self._extras() if self._next.sort == "opening" and not how else None
        end = self.tokens[self.place - 1].end
        term = self._counted(_Term(self._item(body, extras, count), text.start, end, count, how), text)
        if words and count == 1:
            raise self.mistakes.stop("line-repeat", faults.joining_without_repeat(words.text), words.span)
        return term if how else self._with_words(term)

    def _with_words(self, term: _Term) -> _Term:
        """The term with the words "in series" or "in parallel" where they stand after its bracket."""
        token = self._next
        joining = _JOINING.fullmatch(token.text) if token.sort == "text" else None
        if not joining:
            return term
        if term.count == 1:
            raise self.mistakes.stop("line-repeat", faults.joining_without_repeat(token.text), token.span)
        self._take()
        return replace(term, end=token.end, how=joining[2].lower())

    def _count(self, digits: str, where: Token) -> int:
        if len(digits) > 4 or int(digits) > MOST:
            raise self.mistakes.stop("line-too-long", faults.too_many(), where.span)
        if int(digits) < 2:
            raise self.mistakes.stop("line-repeat", faults.repeat_of_none(digits), where.span)
        return int(digits)

    def _counted(self, term: _Term, text: Token) -> _Term:
        """The term, its copies counted; those of the first time have been."""
        inner = list(items(term.branch))
        self.parts += len(inner) * (term.count - 1)
        if self.parts > MOST:
            raise self.mistakes.stop("line-too-long", faults.too_many(), text.span)
        for item in inner if term.count > 1 else ():
            if item.name:
                self.mistakes.note("line-repeat", faults.name_on_repeat(item.name), term.span)
        return term

    def _item(self, text: Token, extras: Token | None, count: int) -> Item:
        name, equals, after = text.text.partition("=")
        if equals and count == 1 and _REPEAT.match(after.strip()):
            raise self.mistakes.stop("line-repeat", faults.name_on_repeat(name.strip()), text.span)
        self.parts += 1
        if self.parts > MOST:
            raise self.mistakes.stop("line-too-long", faults.too_many(), text.span)
        item = read_item(text, extras, self.quantity, self.mistakes, self.known)
        if item.name in self.names:
            self.mistakes.note("line-name", faults.name_twice(str(item.name)), text.span)
        elif item.name:
            self.names.add(item.name)
        self.spans.append((item, text))
        return item

    def _extras(self) -> Token:
        """What stands in the brackets that open next, as one text."""
        opening = self._take()
        depth = 0
        while depth or self._next.sort != "closing":
            depth += {"opening": 1, "closing": -1}.get(self._next.sort, 0)
            if self._take().sort == "end":
                raise self.mistakes.stop("line-brackets", faults.not_closed(), opening.span)
        token = self._closed(opening)
        inside = self.line[opening.end : token.start]
        return Token("text", inside, opening.end, token.start)

    def _mixed(self, terms: list[_Term], signs: list[Token]) -> LineFaults:
        """+ and ∥ side by side: the two ways of putting brackets."""
        start, end = terms[0].start, terms[-1].end
        readings = [self._bracketed(terms, signs, tight) for tight in _JOIN]
        lines = tuple(f"{self.line[:start]}{reading}{self.line[end:]}" for reading in readings)
        brief = all(len(reading) <= _SHOWN for reading in readings)
        sentence = faults.mixed(*readings) if brief else faults.mixed_at_large()
        return self.mistakes.stop("line-mixed", sentence, (start, end), lines)

    def _bracketed(self, terms: list[_Term], signs: list[Token], tight: str) -> str:
        """The text of some terms with brackets round those that the sign `tight` joins."""
        runs = [[terms[0]]]
        for sign, term in zip(signs, terms[1:], strict=True):
            if sign.sort == tight:
                runs[-1].append(term)
            else:
                runs.append([term])
        loose = "+" if tight == "parallel" else "∥"
        texts = [self.line[run[0].start : run[-1].end] for run in runs]
        return f" {loose} ".join(f"({text})" if len(run) > 1 else text for run, text in zip(runs, texts, strict=True))


def _chain(branch: Branch) -> tuple[Branch, ...]:
    return branch.members if isinstance(branch, Series) else (branch,)


def _short(text: str) -> str:
    return text if len(text) <= _SHOWN else f"{text[: _SHOWN - 1]}…"


def words_of(description: Description) -> str:
    """How many parts a line describes, in words.

    >>> words_of(parse("9 V : 30 µF + 1 kΩ")), words_of(parse("10 µF"))
    ('a battery, a capacitor, a resistor', 'a capacitor')
    """
    counts: dict[str, int] = {}
    for item in all_items(description):
        counts[item.kind] = counts.get(item.kind, 0) + 1
    return ", ".join(_several(KINDS[kind].word, count) for kind, count in counts.items())


def _several(word: str, count: int) -> str:
    if count == 1:
        return with_article(word)
    plural = f"{word[:-1]}ies" if word.endswith("y") else f"{word}es" if word.endswith("ch") else f"{word}s"
    return f"{count} {plural}"
