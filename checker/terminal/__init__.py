"""What the command and the maintainer's tools share: turning replies into documents and writing them to an output."""
