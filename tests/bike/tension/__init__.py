"""The rigid fork that the shop builds."""
