"""The site: reference pages, the check page, pages without a script, what a browser needs, and the release that goes with them."""
