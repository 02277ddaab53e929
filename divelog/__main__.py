"""``python -m divelog``."""

from divelog.cli import main

raise SystemExit(main())
