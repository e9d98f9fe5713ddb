"""What is tried by force: kill -9 in the middle of work, and whatever a hand can press."""
