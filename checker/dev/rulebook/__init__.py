"""From the rule files to compiled packs: reading, inheriting, checking, linting. Knows nothing of the site."""
