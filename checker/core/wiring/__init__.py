"""Which wire goes where, and the drawings of it. The sheet and the report print what is worked out here."""
