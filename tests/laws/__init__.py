"""Laws: promises that hold for every cache, tried on drawn ones and held against a dumb second opinion."""
