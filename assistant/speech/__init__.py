"""Sound in and sound out: everything that touches a recording, a device, the recogniser or the synthesiser."""
