"""What jaws must give to hold a part, and what part and gripper allow."""
