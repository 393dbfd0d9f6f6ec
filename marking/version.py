"""Which program this is; the packaging reads it from here."""

VERSION = "0.1.0"
