"""Tables, sessions, migrations and the journal: the only room that knows SQL."""
