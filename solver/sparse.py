"""Linear algebra in floats, for networks past the size where exact numbers answer quickly: scipy's sparse LU.

The grounded Laplacian of a connected network is a symmetric M-matrix, so elimination needs no exchange of rows
(A. Berman and R. J. Plemmons, Nonnegative Matrices in the Mathematical Sciences (1979), ch. 6; from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Final

from solver.arithmetic import Edge, Rounded, Scalar, Solved
from solver.faults import NotANumber, SketchFaults

_NOISE: Final = 1e-10


class Floats(Rounded):
    """Arithmetic in floating-point numbers, about 16 digits."""

    def largest(self, values: Iterable[Scalar]) -> Scalar:
        """The largest magnitude, zero of no values."""
        return max(map(abs, values), default=0.0)

    def denoised(self, value: Scalar, scale: Scalar) -> Scalar:
        """The value, or zero where it is less than 1e-10 of `scale`: what rounding leaves of a difference."""
        return 0.0 if abs(value) <= _NOISE * scale else value

    def solve(self, size: int, edges: Sequence[Edge], columns: Sequence[list[Scalar]]) -> Solved:
        """See Arithmetic.solve. One step of refinement follows; the residual of a column is the largest |L·x − b| of
        its rows over the largest |L|·|x| + |b|. Raises SketchFaults where the numbers are too far apart to be solved.
        """
        if size == 1 or not columns:
            return Solved([[0.0] * size for _ in columns], 1.0, 0.0)
        import numpy as np
        import scipy.sparse
        import scipy.sparse.linalg

        a, b, weight = (np.array(values) for values in zip(*edges, strict=True))
        rows = np.concatenate([a, b, a, b])
        across = np.concatenate([a, b, b, a])
        entries = np.concatenate([weight, weight, -weight, -weight])
        whole = scipy.sparse.csc_array((entries, (rows, across)), shape=(size, size))
        matrix = whole[1:, 1:].tocsc()
        sides = np.array(columns, dtype=float).T[1:]
        try:
            with np.errstate(all="ignore"):
                factors = scipy.sparse.linalg.splu(
                    matrix, permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
                )
                x = factors.solve(sides)
                x = x + factors.solve(sides - matrix @ x)
                terms = abs(matrix) @ abs(x) + abs(sides)
                wrong = abs(matrix @ x - sides)
                most = terms.max(axis=0)
                relative = np.divide(wrong.max(axis=0), most, out=np.zeros_like(most), where=most > 0)
        except RuntimeError as error:
            # The library has one sort of error for a singular matrix and for want of memory.
            if "singular" not in str(error):
                raise MemoryError from error
            raise _too_far_apart() from None
        residual = float(relative.max(initial=0.0))
        if not math.isfinite(float(abs(x).max(initial=0.0))) or not math.isfinite(residual):
            raise _too_far_apart()
        return Solved([[0.0, *column] for column in x.T.tolist()], 1.0, residual)


def _too_far_apart() -> SketchFaults:
    return SketchFaults([NotANumber(reason="they lie too many powers of ten apart")])
