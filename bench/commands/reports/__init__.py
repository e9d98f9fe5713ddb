"""What the commands that read have to say: pure renderings of what the shop hands over."""
