"""Which of the shop's own tubes each tube of a frame can be cut from."""
