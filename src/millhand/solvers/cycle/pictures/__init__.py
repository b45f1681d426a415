"""What a schedule shows of stays and motions."""
