/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The words that statements begin with: one table for reading, help and completion. */
#include "mouldwright/parse.h"

static const mw_command_row command_rows[] = {
    {"moulds", "moulds [MOULD]",
     "Shows the moulds: area, recipe, hours, cost, waiting, ready date.", "moulds", true, false},
    {"takeoff", "takeoff [MOULD]",
     "Shows what is used of each material: net, lost, total, cost; bought in packs.", "takeoff",
     true, false},
    {"hours", "hours [MOULD]", "Shows the hours by step, trade and mould.", "hours hull_port", true,
     false},
    {"waits", "waits [MOULD]",
     "Shows what waits to gel, cure or set, apart from work and from queueing.", "waits", true,
     false},
    {"calendar", "calendar [MOULD]",
     "Shows each session on the shop's shifts, with days and ISO weeks.", "calendar hull_port",
     true, false},
    {"cost", "cost [MOULD]", "Shows cost and price by kind and mould.", "cost", true, false},
    {"pricing", "pricing [MOULD]",
     "Shows how the price comes about: margin, mark-up, discount, tax, payments, cost of a part.",
     "pricing", true, false},
    {"buying", "buying [MOULD]",
     "Shows which packs to buy, when to order them, what is left over; spending by week.", "buying",
     true, false},
    {"cautions", "cautions [MOULD]",
     "Shows the cautions of the materials and steps in use; data sheets and local codes rule.",
     "cautions", true, false},
    {"recipes", "recipes [RECIPE]", "Lists the recipes that were found.", "recipes", false, false},
    {"materials", "materials [MATERIAL]", "Lists the materials.", "materials", false, false},
    {"shop", "shop", "Shows the shop: people, machines, shifts.", "shop", false, false},
    {"lines", "lines [NAME]", "Lists the lines of the job with their values.", "lines", false,
     false},
    {"steps", "steps [MOULD]", "Lists the steps of a mould and their quantities.",
     "steps hull_port", false, false},
    {"undo", "undo [COUNT]", "Takes the last change back.", "undo", false, false},
    {"redo", "redo [COUNT]", "Makes the change again that was taken back last.", "redo", false,
     false},
    {"save", "save [over|both] [\"FILE\"]",
     "Writes the job to its file, or to another. `both` keeps what somebody else changed, `over` does not.",
     "save", false, true},
    {"revert", "revert", "Goes back to the job as it stands in its file.", "revert", false, false},
    {"changes", "changes", "Lists what was changed since the job was saved.", "changes", false,
     false},
    {"recover", "recover [show|discard]",
     "Takes back what a session that was cut off had not saved.", "recover show", false, false},
    {"help", "help [WORD]", "Explains a statement, function, unit or message.", "help units", false,
     true},
    {"quit", "quit", "Leaves the session.", "quit", false, false},
    {0},
};

static const mw_command_row statement_rows[] = {
    {"shop", "shop \"NAME\"", "Names the shop that does the work.", "shop \"saltmarsh\"", false,
     false},
    {"start", "start DATE", "Says when the job may begin.", "start 2027-01-11", false, false},
    {"mould", "mould NAME: INPUT VALUE, ...", "Adds a mould with its inputs and recipe.",
     "mould hull_port: area 6.4 m2, edge 11.2 m, recipe \"split carbon\", count 1", false, false},
    {"moulds from", "moulds from \"FILE.csv\"", "Adds the moulds of a list.",
     "moulds from \"floats.csv\"", false, false},
    {"include", "include \"FILE\"", "Reads the lines of another file.", "include \"rates.job\"",
     false, false},
    {"what if", "what if PATH = VALUE, ... [with|by PATH = VALUE, ...]",
     "Shows side by side what other values would do; nothing changes. `with` goes through two lists "
     "together, `by` tries every combination.",
     "what if hull_port.heavy.plies = 2, 3, 4", false, false},
    {"why", "why FORMULA", "Shows where a value comes from, down to inputs and sources.",
     "why hull_port.heavy.resin", false, false},
    {"restore", "restore PATH", "Puts an overridden quantity back to its usual formula.",
     "restore hull_port.heavy.plies", false, false},
    {"drop", "drop NAME", "Takes a mould or a line out of the job.", "drop mast_fairing", false,
     false},
    {"copy mould", "copy mould NAME as NAME [: INPUT VALUE, ...]",
     "Adds a mould like another, with all that was set for it.",
     "copy mould hull_port as hull_aft: area 5.8 m2", false, false},
    {"copy job", "copy job as \"FILE\" [: start DATE]",
     "Writes the job as the start of the next, into a new file.",
     "copy job as \"dunlin-2.job\": start 2027-09-06", false, false},
    {"ballpark", "ballpark area AREA [, INPUT VALUE ...]",
     "Estimates one mould at once, beside the folder's other jobs.",
     "ballpark area 5 m2, edge 9 m, tightness busy, recipe \"usual mould\"", false, false},
    {"new", "new \"FILE\" [: area AREA, INPUT VALUE ...]",
     "Writes a job file with one mould; without inputs it asks.",
     "new \"tender.job\": mould tender, area 5 m2, recipe \"usual mould\"", false, false},
    {0},
};

const mw_command_row *mw_command_rows(void)
{
    return command_rows;
}

const mw_command_row *mw_statement_rows(void)
{
    return statement_rows;
}
