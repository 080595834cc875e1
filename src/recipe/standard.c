/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Names with a fixed meaning: standard quantities of a step, figures of a material, and the words that
 * names are made of. */
#include "mouldwright/recipe.h"

#include <string.h>

/* clang-format off */
static const mw_standard_row standard_rows[] = {
    {"hours", "labour", "0 h", "labour of the step, all people together", true},
    {"crew", "people", "1", "people who work on it at the same time", false},
    {"machine_hours", "time", "0 h", "clock time for which the machines are paid", false},
    {"sessions", "1", "1", "parts that the work falls into, each followed by session_wait", true},
    {"session_wait", "time", "0 h", "wait between two sessions", false},
    {"wait", "time", "0 h", "wait after the work, before the next step may begin", false},
    {"window", "time", NULL, "longest time from the start of the step to the end of its covering", false},
    {"rework", "labour", NULL, "more labour for the covering where the window is missed, such as scuffing", false},
    {"cure_energy", "kJ/mol", "0 kJ/mol", "of what cures in it, for waits on cure; 0: the shop's doubling rule", false},
    {"cure_coldest", "degC", "-273.15 degC", "its cure data reach from here; usually 40 K below shop.cure_reference", false},
    {"cure_hottest", "degC", "-273.15 degC", "its cure data reach to here; usually 40 K above shop.cure_reference", false},
    {"tent", "degC", "-273.15 degC", "a heated tent keeps it at least this warm while it cures; usually none", false},
    {"done", "1", "0", "share of its work that is done by job.status: the plan goes on from there", false},
    {"ended", "date", "1970-01-01", "when what is done ended: waits after it count from then; usually from job.status", false},
    {"plies", "1", NULL, "layers of cloth", false},
    {"thickness", "mm", NULL, "what the step adds to the thickness of the laminate", true},
    {"mass", "kg", NULL, "what the step adds to the mass of the mould", true},
    {"outside_cost", "money", NULL, "what others are paid for the step", false},
    {NULL, NULL, NULL, NULL, false},
};

static const mw_figure_kind figure_kinds[] = {
    {"density", "kg/m3", "mass by volume"},
    {"areal_weight", "kg/m2", "mass of a cloth by area"},
    {"thickness", "mm", "of a board, film or cloth"},
    {"width", "m", "of a roll or board"},
    {"length", "m", "of a roll or board"},
    {"price", "money", "of one stock unit: made from the usual pack by the program"},
    {"pot_life", "min", "time in the pot until it can no longer be used, for pot_mass"},
    {"pot_mass", "kg", "mass in the pot that pot_life is stated for"},
    {"gel_time", "h", "time in the film until it gels"},
    {"tack_from", "min", "time after which the next layer may go on"},
    {"tack_until", "h", "time up to which the next layer still bonds wet"},
    {"next_layer", "h", "time after which the next session may start"},
    {"recoat_from", "min", "earliest time of another coat"},
    {"recoat_until", "h", "latest time of another coat"},
    {"demould_time", "h", "time after which it holds its shape"},
    {"full_cure", "d", "time after which it has its properties"},
    {"temperature", "degC", "at which these times were stated"},
    {"cure_energy", "kJ/mol", "activation energy; made from cure_points by the program, 0 without them"},
    {"cure_coldest", "degC", "20 K below the coldest of cure_points, made by the program; -273.15 degC without them"},
    {"cure_hottest", "degC", "20 K above the hottest of cure_points, made by the program; -273.15 degC without them"},
    {"mix_ratio", "1", "hardener by resin, by mass"},
    {"solids", "1", "share that stays, by volume"},
    {"shelf_life", "d", "time in the closed can"},
    {"lead_time", "d", "time from order to delivery"},
    {"coverage", "kg/m2", "mass that one coat takes by area"},
    {"wet_limit", "mm", "thickest wet layer in one go"},
    {"fibre_density", "kg/m3", "density of the fibre itself"},
    {"resin_share", "1", "resin by mass in the laid-up layer"},
    {NULL, NULL, NULL},
};
/* clang-format on */

const mw_standard_row *mw_standard_rows(void)
{
    return standard_rows;
}

const mw_standard_row *mw_standard_find(mw_str name)
{
    for (const mw_standard_row *row = standard_rows; row->name != NULL; row++) {
        if (mw_str_is(name, row->name)) {
            return row;
        }
    }
    return NULL;
}

const mw_figure_kind *mw_figure_kinds(void)
{
    return figure_kinds;
}

/* Lower case for ASCII; blank and `-` as `_`. */
static char word_byte(char byte)
{
    if (byte >= 'A' && byte <= 'Z') {
        return (char)(byte - 'A' + 'a');
    }
    return byte == ' ' || byte == '-' ? '_' : byte;
}

bool mw_same_name(mw_str a, mw_str b)
{
    if (a.length != b.length) {
        return false;
    }
    for (size_t i = 0; i < a.length; i++) {
        if (word_byte(a.at[i]) != word_byte(b.at[i])) {
            return false;
        }
    }
    return true;
}

void mw_name_word(mw_str name, mw_text *out)
{
    for (size_t i = 0; i < name.length; i++) {
        mw_text_addc(out, word_byte(name.at[i]));
    }
}
