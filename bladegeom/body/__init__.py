"""What an outline becomes: stock, bevels, holes, scales and pins, and the rules that a shop holds them to."""
