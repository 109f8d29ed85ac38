"""Standard sizes, one module for each kind; import them from `frame3d.parameters.sizes.standards`."""
