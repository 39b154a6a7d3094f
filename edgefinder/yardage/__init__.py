"""Millimetres of tape to a length of cloth: what to buy, cut, rule and sew."""
