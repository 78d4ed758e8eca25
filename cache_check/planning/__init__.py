"""Who gets what: how many struts at once, what binds, what one lost costs; every optimum with its proof."""
