"""What painters do: one function an action, one transaction, state and journal written together."""
