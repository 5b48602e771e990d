"""Spareway: may this control device go into this circuit, is it sized right, what must change."""

__version__ = "0.1.0"
