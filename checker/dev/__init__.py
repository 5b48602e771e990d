"""What maintainers run: compile and lint the rules, write the reference pages, build the site. Never shipped."""
