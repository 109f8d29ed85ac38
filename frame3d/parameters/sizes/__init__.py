"""Standard sizes, one module a subject; read them through `frame3d.parameters.sizes.standards`."""
