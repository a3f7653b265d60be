"""The faces: what people and programs call. They read, ask the assistant, and print; they judge nothing."""
