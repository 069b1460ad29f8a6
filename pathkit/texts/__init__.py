"""Texts for people who receive files, in their language: a catalogue for each, and the door through which it is asked.

A catalogue is a folder (``en``, ``de``) of files in Fluent's own form (https://projectfluent.org/fluent/guide/). The
first word of a message's name is the file it is in. Files and data for machines are never translated.
"""
