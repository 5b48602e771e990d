"""The cases that rule sets are judged by: scenarios, published examples, second copies of tables."""
