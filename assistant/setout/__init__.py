"""The set-out core: exact arithmetic from an opening to the last mark. Pure: values in, values or SetoutError out."""
