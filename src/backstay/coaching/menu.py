"""Menu: the exact best choice of exercises, in whole numbers.

Best means, in this order: most of 10 x sum over qualities of min(need, gain) + preference; fewest exercises; least
stress; the ids that come first. Under minutes, stress (counted with all sets cut that may be cut), number of items, one
of a family. An exercise that gains nothing of what is needed is no candidate.

The search is branch and bound. Its bound comes from a weight for each quality, and a price for minutes and for stress:

    min(need, gain) <= weight x gain + (1 - weight) x need        for any weight from 0 to 1

so that for any weights and prices (see pricing.py) the few best of one sorted list bound all that can still be added.

Nothing here reads a clock: a count of nodes ends a search that grows too large, and the menu then says it is not
proved.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from backstay.coaching.columns import LAST, MOST_STRESS, PLACE, PLACES
from backstay.coaching.pricing import BIAS, PARTS, find_prices, priced
from backstay.coaching.problem import A_POINT, UNLIMITED, Candidate, Limits, Problem

__all__ = ["NODES", "Candidate", "Choice", "Limits", "Menu", "best_menu"]

NODES = 4_000
DOMINANCE_FROM = 40  # nodes after which comparing all pairs of candidates pays
SWAP_ROUNDS = 6
OFFSET = 64  # keeps a preference positive in a packed field

Key = tuple[int, int, int]  # value, minus the number of exercises, minus stress: more is better


class Menu(NamedTuple):
    """The choice in the order of ids, what it is worth, and whether it is proved best."""

    exercises: tuple[str, ...]
    value: int
    covered: dict[str, int]
    minutes: int
    stress: int
    proved: bool
    nodes: int


def best_menu(
    needs: Mapping[str, int], candidates: Iterable[Candidate], limits: Limits, most_nodes: int = NODES
) -> Menu:
    """Return the best menu; the order of the candidates does not matter."""
    return Choice(needs, candidates, limits, most_nodes=most_nodes).menu


class Choice:
    """One problem of choice, solved. It can then be asked what a barred candidate would have changed."""

    __slots__ = (
        "_alive",
        "_beside",
        "_best",
        "_chosen",
        "_columns",
        "_fits",
        "_last",
        "_last_columns",
        "_minute",
        "_most_nodes",
        "_nodes",
        "_problem",
        "_rest",
        "_root",
        "_static",
        "_stress",
        "_under",
        "menu",
    )

    def __init__(
        self,
        needs: Mapping[str, int],
        candidates: Iterable[Candidate],
        limits: Limits,
        barred: Iterable[str] = (),
        most_nodes: int = NODES,
    ) -> None:
        problem = self._problem = Problem(needs, candidates, limits)
        self._most_nodes = most_nodes
        self._nodes = 0
        self._best: Key = (0, 0, 0)
        self._chosen: tuple[int, ...] = ()
        self._fits: dict[tuple[bool, int], int] = {}
        self._root: list[int] | None = None
        self._beside: int | None = None
        size = len(problem.candidates)
        self._under = [0] * size
        out = frozenset(barred)
        self._alive = problem.columns.mask(
            place for place in range(size) if problem.candidates[place].exercise not in out
        )
        self._last_columns = [[(A_POINT * one) << LAST for one in table] for table in problem.gain_columns]
        self._last = problem.columns.pack(
            [
                ((problem.preference[place] + OFFSET) << LAST)
                | ((MOST_STRESS - min(problem.stress[place], MOST_STRESS)) << PLACE)
                | (PLACES - place)
                for place in range(size)
            ]
        )
        if problem.items and size:
            self._solve()
        self.menu = self._as_menu()

    def would_enter(self, exercise: str) -> int | None:
        """Return what a barred exercise would add to the menu's value if it were allowed; None if it would not enter.

        0 is an answer: a menu of the same value that comes first by fewer exercises, less stress, or the ids.
        """
        problem = self._problem
        place = next((at for at, one in enumerate(problem.candidates) if one.exercise == exercise), None)
        if place is None or not problem.items:
            return None
        if (self._most_beside() + self._worth_at_root(place)) // PARTS < self._best[0]:
            return None
        kept = self._best, self._chosen, self._nodes
        self._nodes = 0
        value, needs = problem.add(place, problem.needs)
        self._offer(value, (place,), problem.stress[place])
        if problem.items > 1:
            minutes = problem.minutes_limit - problem.minutes[place]
            stress = problem.stress_limit - problem.least[place]
            alive = self._fitting(self._alive & problem.outside[place], minutes, stress)
            if alive:
                self._visit(needs, value, alive, problem.items - 1, minutes, stress, (place,), problem.stress[place])
        entered, gained = place in self._chosen, self._best[0] - kept[0][0]
        self._best, self._chosen, self._nodes = kept
        return gained if entered else None

    def _worth_at_root(self, place: int) -> int:
        """The weighted worth of a candidate while all needs are open."""
        if self._root is None:
            column = self._static
            for table, need in zip(self._columns, self._problem.needs, strict=True):
                column += table[need]
            self._root = [(field >> PLACE) - BIAS for field in self._problem.columns.fields(column)]
        return self._root[place]

    def _most_beside(self) -> int:
        """A bound, in parts, on what a menu is worth besides one candidate that is forced into it."""
        if self._beside is None:
            problem = self._problem
            live = [place for place in range(len(problem.candidates)) if self._alive & problem.columns.field[place]]
            worth = sorted((self._worth_at_root(place) for place in live), reverse=True)[: problem.items - 1]
            self._beside = sum(one for one in worth if one > 0)
            self._beside += sum(rest[need] for rest, need in zip(self._rest, problem.needs, strict=True))
            if self._minute:
                self._beside += self._minute * problem.minutes_limit
            if self._stress:
                self._beside += self._stress * problem.stress_limit
        return self._beside

    # --- solving ------------------------------------------------------------------------------------------------------

    def _solve(self) -> None:
        problem = self._problem
        self._build_greedily()
        prices = find_prices(problem, self._chosen, self._best[0], self._alive)
        self._minute, self._stress = prices.minute, prices.stress
        self._static = priced(problem, prices.minute, prices.stress)
        self._columns = [
            [(A_POINT * weight * one) << PLACE for one in table]
            for weight, table in zip(prices.weights, problem.gain_columns, strict=True)
        ]
        self._rest = [
            [A_POINT * (PARTS - weight) * points for points in range(need + 1)]
            for weight, need in zip(prices.weights, problem.needs, strict=True)
        ]
        self._build_by_prices()
        self._swap()
        self._visit(problem.needs, 0, self._alive, problem.items, problem.minutes_limit, problem.stress_limit, (), 0)

    def _build_greedily(self) -> None:
        """Offer the menus made by always taking what adds most."""
        chosen: tuple[int, ...] = ()
        for _ in range(self._problem.items):
            needs, value, alive, stress = self._standing(chosen)
            last = self._last_choice(needs, alive)
            if last is None or last[0] <= 0:
                break
            chosen = (*chosen, last[1])
            self._offer(value + last[0], chosen, stress + self._problem.stress[last[1]])

    def _build_by_prices(self) -> None:
        """Offer the menus made by always taking what is worth most after its price."""
        chosen: tuple[int, ...] = ()
        for _ in range(self._problem.items):
            needs, _, alive, _ = self._standing(chosen)
            if not alive:
                break
            column = self._static
            for table, need in zip(self._columns, needs, strict=True):
                column += table[need]
            field = max(self._problem.columns.fields(column & alive))
            if field >> PLACE <= BIAS:
                break
            chosen = (*chosen, field & PLACES)
            _, value, _, stress = self._standing(chosen)
            self._offer(value, chosen, stress)

    def _swap(self) -> None:
        """Put one exercise in the place of another as long as that helps."""
        for _ in range(SWAP_ROUNDS):
            for place in self._chosen:
                rest = tuple(one for one in self._chosen if one != place)
                needs, value, alive, stress = self._standing(rest)
                last = self._last_choice(needs, alive)
                if last and self._offer(value + last[0], (*rest, last[1]), stress + self._problem.stress[last[1]]):
                    break
            else:
                return

    def _standing(self, chosen: tuple[int, ...]) -> tuple[list[int], int, int, int]:
        """Needs still open, value, candidates that still fit, and stress, after these choices."""
        problem = self._problem
        needs, value, alive, stress = problem.needs, 0, self._alive, 0
        minutes_left, stress_left = problem.minutes_limit, problem.stress_limit
        for place in chosen:
            added, needs = problem.add(place, needs)
            value += added
            alive &= problem.outside[place]
            stress += problem.stress[place]
            minutes_left -= problem.minutes[place]
            stress_left -= problem.least[place]
        return needs, value, self._fitting(alive, minutes_left, stress_left), stress

    def _last_choice(self, needs: list[int], alive: int) -> tuple[int, int] | None:
        """The best single addition: what it adds, and its place; ties by stress, then by id."""
        if not alive:
            return None
        column = self._last
        for table, need in zip(self._last_columns, needs, strict=True):
            column += table[need]
        field = max(self._problem.columns.fields(column & alive))
        return (field >> LAST) - OFFSET, PLACES - (field & PLACES)

    def _offer(self, value: int, chosen: tuple[int, ...], stress: int) -> bool:
        key = (value, -len(chosen), -stress)
        if key < self._best:
            return False
        ordered = tuple(sorted(chosen))
        if key == self._best and ordered >= self._chosen:
            return False
        self._best, self._chosen = key, ordered
        return True

    def _fitting(self, alive: int, minutes: int, stress: int) -> int:
        """Keep the candidates that fit into the minutes and the stress that are left."""
        problem = self._problem
        if problem.minutes_limit != UNLIMITED:
            alive &= self._fit(False, minutes, problem.minutes)
        if problem.stress_limit != UNLIMITED:
            alive &= self._fit(True, stress, problem.least)
        return alive

    def _fit(self, of_stress: bool, left: int, amounts: list[int]) -> int:
        mask = self._fits.get((of_stress, left))
        if mask is None:
            mask = self._problem.columns.mask(place for place, amount in enumerate(amounts) if amount <= left)
            self._fits[of_stress, left] = mask
        return mask

    def _visit(
        self,
        needs: list[int],
        value: int,
        alive: int,
        items: int,
        minutes: int,
        stress_left: int,
        chosen: tuple[int, ...],
        stress: int,
    ) -> None:
        """Search all menus that add up to `items` of the candidates in `alive` to those chosen."""
        self._nodes += 1
        if self._nodes > self._most_nodes:
            return
        if self._nodes == DOMINANCE_FROM:
            from backstay.coaching.dominance import compare_pairs  # few searches grow so long

            self._under, gone = compare_pairs(self._problem, self._alive)
            self._alive &= ~gone
        alive &= self._alive
        problem = self._problem
        if items == 1:
            last = self._last_choice(needs, alive)
            if last is not None:
                self._offer(value + last[0], (*chosen, last[1]), stress + problem.stress[last[1]])
            return
        column, rest = self._static, PARTS * value
        for table, other, need in zip(self._columns, self._rest, needs, strict=True):
            column += table[need]
            rest += other[need]
        if self._minute:
            rest += self._minute * minutes
        if self._stress:
            rest += self._stress * stress_left
        fields = sorted(problem.columns.fields(column & alive), reverse=True)
        for at, field in enumerate(fields):
            if not field:
                break
            place = field & PLACES
            mask = problem.columns.field[place]
            if not alive & mask:
                continue
            # What may still be added without more exercises than the best menu has: for those that only tie with it.
            for_a_tie = -self._best[1] - len(chosen)
            bound, tie, short = self._bounds(fields, at, rest, items, for_a_tie)
            if bound < self._best[0] + 1 and tie < self._best[0]:
                break
            with_stress = stress + problem.stress[place]
            if bound > self._best[0] or short >= self._best[0] or with_stress <= -self._best[2]:
                added, open_needs = problem.add(place, needs)
                with_place = (*chosen, place)
                self._offer(value + added, with_place, with_stress)
                minutes_after, stress_after = minutes - problem.minutes[place], stress_left - problem.least[place]
                others = self._fitting(alive & problem.outside[place], minutes_after, stress_after)
                if others:
                    worth = value + added
                    self._visit(
                        open_needs, worth, others, items - 1, minutes_after, stress_after, with_place, with_stress
                    )
            alive &= ~(mask | self._under[place])

    def _bounds(self, fields: list[int], at: int, rest: int, items: int, for_a_tie: int) -> tuple[int, int, int]:
        """Bounds on the value with the field at `at` and up to `items` - 1 after it, at most one of a family.

        The second is for as many exercises as a tie allows, the third for one less than that.
        """
        families = self._problem.families
        field = fields[at]
        bound = rest + (field >> PLACE) - BIAS
        tie = bound if for_a_tie >= 1 else -1
        short = bound if for_a_tie >= 2 else -1
        used, taken = families[field & PLACES], 1
        for after in range(at + 1, len(fields)):
            field = fields[after]
            worth = (field >> PLACE) - BIAS
            if worth <= 0 or taken == items:
                break
            family = families[field & PLACES]
            if used & family:
                continue
            used |= family
            bound += worth
            taken += 1
            if taken <= for_a_tie:
                tie = bound
                if taken < for_a_tie:
                    short = bound
        return bound // PARTS, tie // PARTS, short // PARTS

    def _as_menu(self) -> Menu:
        problem = self._problem
        left = problem.needs
        for place in self._chosen:
            _, left = problem.add(place, left)
        return Menu(
            exercises=tuple(problem.candidates[place].exercise for place in self._chosen),
            value=self._best[0],
            covered={
                quality: need - open_need
                for quality, need, open_need in zip(problem.qualities, problem.needs, left, strict=True)
            },
            minutes=sum(problem.minutes[place] for place in self._chosen),
            stress=sum(problem.stress[place] for place in self._chosen),
            proved=self._nodes <= self._most_nodes,
            nodes=self._nodes,
        )
