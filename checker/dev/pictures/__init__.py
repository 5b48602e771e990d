"""The drawings of what you look at to answer: plain schematic line drawings of our own, made when rules are compiled.

`rules/<pack>/pictures` says what each shows and which question each spot belongs to. `checker.core.pictures` puts the
drawings of one screen together.
"""
