"""What the shop itself decides: how a frame is joined."""
