"""The checker itself: standard library only, no file, no clock, no network. Its one door is `api.handle`."""
