"""The schedule: when the load shall run, and what that does. `reply.plan` is what the door asks."""
