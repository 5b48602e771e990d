"""What would happen with other answers: what every answer decides alike, what would make it fit, how far each number may move."""
