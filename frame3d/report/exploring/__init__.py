"""An exploration as one offline page: what was asked, how far it came, the designs, the best."""
