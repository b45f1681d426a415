"""Where an arm's joints have to be for its flange to be somewhere: closed forms, all branches, many poses at a time."""
