"""What the screens are made of: lines of styled text, and the one widget that shows them."""
