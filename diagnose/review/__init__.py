"""What a mentor who goes through the rules wants to know about them."""
