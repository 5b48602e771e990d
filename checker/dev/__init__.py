"""What maintainers run: compile and lint the rules, write the reference pages, build the site. Never shipped.

Four rooms: `rulebook` reads, checks and compiles rule files; `cases` holds what rule sets are judged by; `maintain` is
`spareway rules`; `site` makes the pages.
"""
