"""How the finder's weights were made: drawn posters, the network, its training. Not needed to run the tool."""
