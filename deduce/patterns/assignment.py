"""The cheapest choice of different digits for some cells, with the prices that prove it cheapest."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import inf

__all__ = ["cheapest"]


def cheapest(rows: Sequence[Mapping[int, int]]) -> tuple[int, list[int], dict[int, int]] | None:
    """Give each row a column of its own at the least total cost.

    Parameters
    ----------
    rows : sequence of mapping
        For each row the columns that it may take, with their costs.

    Returns
    -------
    (int, list of int, dict of int to int) or None
        The total, a price for each row and a price of zero or less for each column: no cost is below the price of its
        row plus that of its column, and the prices add up to the total.  None if the rows cannot all have columns.

    Notes
    -----
    Shortest augmenting paths, one row after the other.

    Examples
    --------
    >>> cheapest([{1: 1, 2: 2, 3: 3}, {1: 1, 2: 2, 3: 3}])
    (3, [2, 2], {1: -1, 2: 0, 3: 0})
    """
    columns = sorted({column for row in rows for column in row})
    price_row = [0] * len(rows)
    price_column = dict.fromkeys(columns, 0)
    holder: dict[int, int] = {}
    for start in range(len(rows)):
        distance: dict[int, float] = dict.fromkeys(columns, inf)
        before: dict[int, int | None] = {}
        done: list[int] = []
        row, gone, last = start, 0.0, None
        while True:
            for column, cost in rows[row].items():
                reach = gone + cost - price_row[row] - price_column[column]
                if column not in done and reach < distance[column]:
                    distance[column] = reach
                    before[column] = last
            open_ = [column for column in columns if column not in done and distance[column] < inf]
            if not open_:
                return None
            last = min(open_, key=lambda column: (distance[column], column))
            gone = distance[last]
            if last not in holder:
                break
            done.append(last)
            row = holder[last]
        length = int(gone)
        price_row[start] += length
        for column in done:
            gain = length - int(distance[column])
            price_row[holder[column]] += gain
            price_column[column] -= gain
        at: int | None = last
        while at is not None:
            earlier = before[at]
            holder[at] = start if earlier is None else holder[earlier]
            at = earlier
    total = sum(rows[row][column] for column, row in holder.items())
    return total, price_row, price_column
