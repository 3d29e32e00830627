"""Printed solids: areas raised, cut, recessed, lettered, turned, split and checked, on manifold3d."""
