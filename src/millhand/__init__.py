"""millhand: a shop's inquiry about robot loading of machine tools, answered with figures that can be traced."""
