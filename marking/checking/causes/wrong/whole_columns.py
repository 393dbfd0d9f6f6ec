"""Formulas in a table that take whole columns, for one row: a rank, the value of the row above."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from marking.checking.answers import evaluate
from marking.checking.causes.wrong.hypothesis import Values, tree_names
from rubrics.formulas import Call, Name, Node, walk


@lru_cache(maxsize=4096)
def whole_columns(tree: Node) -> tuple[str, ...]:
    """Return the names that *tree* takes whole columns of."""
    calls = [node for node in walk(tree) if isinstance(node, Call)]
    inner = [node for call in calls for column in call.columns for node in walk(column)]
    return tuple(sorted({node.name for node in inner if isinstance(node, Name)}))


def evaluate_rows(
    tree: Node, env: Mapping[str, Values], columns: Mapping[str, Values], rows: NDArray[np.int64]
) -> Values:
    """Return *tree* worked out for one row of each answer's table, shape (answers, ways).

    Args:
        tree: A formula that takes whole columns.
        env: Name to the number in the answer's own row, in one way or several, shape (answers, ways).
        columns: Name to the whole column, shape (answers, rows of the table).
        rows: Of the answers, from 0.
    """
    ways = max(env[name].shape[1] for name in tree_names(tree))
    at = np.arange(rows.size), rows
    found = []
    for way in range(ways):
        own = {name: values[:, [min(way, values.shape[1] - 1)]] for name, values in env.items()}
        for name, values in columns.items():
            own[name] = values.copy()
            own[name][at] = np.broadcast_to(env[name][:, min(way, env[name].shape[1] - 1)], rows.shape)
        result = evaluate(tree, own)
        found.append(np.broadcast_to(result, (rows.size, max(one.shape[1] for one in own.values())))[at])
    return np.stack(found, axis=1)
