"""The `spareway` command: questions in a terminal, answers files, reports."""
