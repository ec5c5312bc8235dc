"""``python -m flooring_kit``: open the kit's notebooks in the browser."""

from __future__ import annotations

from flooring_kit.launcher import main

__all__ = ["main"]

if __name__ == "__main__":
    raise SystemExit(main())
