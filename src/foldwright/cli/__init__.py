"""The command line: arguments, progress, printing; one module a command, heavy imports inside it."""

from __future__ import annotations


def main() -> None:
    """Run the command line; exit codes: 0 clear or watch, 1 no-go, 2 unusable input, 130 interrupted."""
    import os

    # one aeroplane's systems are small: a second thread costs more than it gives (measured)
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from foldwright.cli.edge import run

    run()
