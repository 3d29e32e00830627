"""Quadratic forms over a sample axis: C = uᵀ Q u for many states u at once."""

from __future__ import annotations

import numpy as np

from foldwright.base.types import FloatArray


def evaluate(form: FloatArray, u: FloatArray) -> FloatArray:
    """uᵀ Q u.

    form: (m, m) or a stack (k, m, m). u: (m,) or samples (..., m).
    Returns (...) for one form, (..., k) for a stack.
    """
    if form.ndim == 2:
        return np.asarray(np.sum((u @ form) * u, axis=-1))
    flat = np.swapaxes(form, 0, 1).reshape(form.shape[1], -1)  # all forms in one product
    rows = (u @ flat).reshape(*u.shape[:-1], *form.shape[:2])
    return np.asarray(np.einsum("...km,...m->...k", rows, u))


def gradient(form: FloatArray, u: FloatArray) -> FloatArray:
    """d(uᵀ Q u)/du = 2 Q u of a symmetric form. Shapes as `evaluate`, with (m,) added at the end."""
    return np.asarray(2.0 * np.tensordot(u, form, axes=(-1, -1)))


def moved(form: FloatArray, change: FloatArray) -> FloatArray:
    """Form in other states: u_old = change @ u_new gives Q_new = changeᵀ Q change. Stacks allowed."""
    return np.asarray(change.T @ form @ change)
