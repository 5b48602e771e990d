"""The job sheet: what a person takes to the board once the verdict is there, or hands to the one who must be called."""
