/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Recipes, materials, shops and cautions as read from their files. The form of the files is described in
 * docs/recipe-files.md. All text and rows are owned by the library and never move. */
#ifndef MOULDWRIGHT_RECIPE_H
#define MOULDWRIGHT_RECIPE_H

#include "mouldwright/calendar.h"
#include "mouldwright/diag.h"
#include "mouldwright/unit.h"

#ifdef __cplusplus
extern "C" {
#endif

/* A quantity of a recipe: an input or line of the mould, or a line of a step. */
typedef struct mw_line_row {
    mw_str name;
    mw_span name_at;
    mw_str about;    /* empty: none */
    mw_str source;   /* published source or `common practice, no source`; empty: none */
    mw_str warns;    /* what to tell while the value, a truth, is yes; empty: nothing */
    mw_span formula; /* `usual` or `is`; source MW_NONE: must be given by the mould */
    mw_type type;    /* declared */
    mw_unit unit;    /* shown in */
    bool input;      /* stands under `inputs`: a mould's field or a job-wide line may give it */
    bool whole;      /* whole numbers only (plies, coats) */
    mw_span low;     /* limits as formulas of constants; source MW_NONE: none */
    mw_span high;
    /* What `usual` means in the formula: the row of the recipe built on whose formula this one replaces;
     * NULL: none. A row that keeps the formula of the one below keeps its `base`, too. */
    const struct mw_line_row *base;
} mw_line_row;

/* Something that a step uses. Gives the step these quantities: ROLE_net (the amount), ROLE_loss (share of what
 * is used up that is lost), ROLE = ROLE_net / (1 - ROLE_loss), ROLE_lost, ROLE_cost, ROLE_material (text). */
typedef struct mw_use_row {
    mw_str role;
    mw_span role_at;
    mw_str material; /* name of the usual one */
    mw_span material_at;
    mw_span amount; /* formula of the net amount */
    mw_span loss;   /* formula; source MW_NONE: nothing is lost */
    mw_type type;   /* of the amount: what `unit` says */
    mw_unit unit;
    mw_str source;
    /* What `usual` means in amount and loss. A row below may have only one of the two (the other is nowhere),
     * since each formula has its own way down. */
    const struct mw_use_row *base;
} mw_use_row;

/* On which rate calendar a wait runs. */
typedef enum mw_clockwork {
    MW_ON_CURE,  /* the room's temperature */
    MW_ON_CLOCK, /* always 1 */
    MW_ON_SHIFT  /* the shop's shift */
} mw_clockwork;

typedef struct mw_name_list {
    const mw_str *items;
    const mw_span *spans;
    uint32_t count;
} mw_name_list;

typedef struct mw_step_row {
    mw_str name;
    mw_span name_at;
    mw_str about;
    mw_str source;
    mw_str trade; /* who does it; empty: nobody (a wait, outside work) */
    mw_span trade_at;
    mw_name_list after; /* steps it follows; `has_after` false: the one before it in the list */
    /* Step of the mould named in `after` that must be done (waits included) before; or empty. */
    mw_str after_piece;
    mw_span after_piece_at;
    mw_name_list holds;      /* machines and places during work */
    mw_name_list holds_wait; /* and during the wait */
    mw_clockwork wait_on;
    mw_clockwork window_on;
    const mw_line_row *lines;
    const mw_use_row *uses;
    uint32_t line_count;
    uint32_t use_count;
    mw_name_list checks;   /* texts: what to look at before going on */
    mw_name_list cautions; /* words of the cautions table */
    bool has_after;
    bool interrupt; /* may stop at the end of a shift and go on the next day */
} mw_step_row;

typedef struct mw_recipe {
    mw_str name;
    mw_str about;
    mw_str source;
    uint32_t file;                     /* source id */
    const struct mw_recipe *builds_on; /* NULL: none */
    const mw_line_row *lines;          /* inputs and mould lines, merged with those built on */
    uint32_t line_count;
    const mw_step_row *steps; /* in order, merged */
    uint32_t step_count;
} mw_recipe;

/* Standard quantities of a step, with kinds that need no `unit` in the file: the one table that the loader, the job,
 * reports and docs share. */
typedef struct mw_standard_row {
    const char *name;
    const char *unit; /* unit text; "labour", "people", "time", "1", "money" */
    /* Formula when the step does not give it; NULL: the step then has no such quantity. */
    const char *usual;
    const char *about;
    bool summed; /* the mould has a quantity of this name: the sum over its steps */
} mw_standard_row;
/* hours (labour, 0 h, summed), crew (people, 1), machine_hours (time, 0 h), sessions (1, 1, summed),
 * session_wait (time, 0 h), wait (time, 0 h), window (time, none: longest time from the START of this step
 * to the END of the covering of it), plies (1), thickness (mm, summed), mass (kg, summed), outside_cost (money).
 * Ended by a row with name NULL. */
const mw_standard_row *mw_standard_rows(void);
/* Returns the row of a name, or NULL. */
const mw_standard_row *mw_standard_find(mw_str name);

#define MW_PACK_BREAKS_MAX    8
#define MW_MATERIAL_PACKS_MAX 12
#define MW_MATERIAL_PARTS_MAX 2

/* From so many packs on each of them costs so much. */
typedef struct mw_pack_break {
    uint32_t from;
    double price; /* as in the pack */
} mw_pack_break;

typedef struct mw_pack {
    double size;  /* SI, of the material's stock type */
    double price; /* in the shop's currency units, or in the currency of its type */
    mw_type price_type;
    mw_span at;        /* of the price's formula */
    uint32_t at_least; /* so many are bought, or none; 0: any number */
    uint32_t
        part; /* it holds only this part of the material; MW_NONE: all parts as they are used */
    mw_pack_break breaks[MW_PACK_BREAKS_MAX];
    uint32_t break_count;
} mw_pack;

/* A part of a material that is sold by itself: resin, hardener. */
typedef struct mw_material_part {
    mw_str name;
    double share; /* of the amount used; all shares sum to 1 */
} mw_material_part;

typedef struct mw_figure {
    mw_str name;
    mw_str source;
    mw_span formula; /* a value with unit; may not read names */
    mw_span name_at;
} mw_figure;

/* How long the same event (gel, say) takes at a temperature; a warmer point is a shorter one. */
typedef struct mw_cure_point {
    double at_k; /* 223.15 to 573.15 */
    double time_s;
} mw_cure_point;
#define MW_CURE_POINTS_READ 32 /* most points of a material */

typedef struct mw_material {
    mw_str name;
    mw_span name_at;
    mw_str kind; /* `top coat`, `laminating resin`, `cloth`, `putty`, `board`, `consumable`, ... */
    mw_str about;
    mw_str source;
    mw_type stock_type;
    mw_unit stock_unit;
    const mw_pack *packs; /* at least one; the first is the usual one */
    uint32_t pack_count;
    mw_material_part parts[MW_MATERIAL_PARTS_MAX];
    uint32_t part_count; /* 0, or all of them */
    bool consumable;     /* nothing of it stays in the mould: gloves, film, abrasives */
    mw_str supplier;     /* who sells it; empty: not said */
    double on_hand;      /* SI: on the shelf, taken before anything is bought */
    mw_span on_hand_at;
    double least_order; /* SI: less is not sold in one order; 0: any amount */
    mw_span least_order_at;
    const mw_figure *figures;
    uint32_t figure_count;
    const mw_cure_point *cure_points; /* none, or two and more */
    uint32_t cure_point_count;
    mw_span cure_points_at;
    mw_name_list cautions;
} mw_material;

/* Figures that have a fixed kind: {name, unit, about}; ended by name NULL. A figure of another name may have
 * any kind. */
typedef struct mw_figure_kind {
    const char *name;
    const char *unit;
    const char *about;
} mw_figure_kind;
const mw_figure_kind *mw_figure_kinds(void);

typedef struct mw_trade {
    mw_str name;
    uint32_t count;  /* people */
    double rate;     /* money per second of labour, in the shop's currency */
    mw_span rate_at; /* the formula */
    mw_str shift;    /* empty: the first */
    mw_span at;
} mw_trade;

typedef struct mw_machine_row {
    mw_str name;
    uint32_t count;
    mw_span rate_at;  /* formula, money per time; source MW_NONE: free */
    mw_span power_at; /* formula: what it draws while it runs; source MW_NONE: not reckoned */
    double size_m[3]; /* 0: not stated */
    mw_str shift;     /* empty: the first; `always`: day and night */
    mw_span at;
} mw_machine_row;

typedef struct mw_shift {
    mw_str name;
    mw_stretch day[7][8]; /* Monday first */
    uint32_t stretch_count[7];
} mw_shift;

typedef struct mw_day_row { /* a holiday or part day */
    int32_t day;
    mw_stretch stretches[8];
    uint32_t count; /* 0: closed */
    mw_span at;
} mw_day_row;

typedef struct mw_season {
    unsigned months; /* bit 0 January */
    double day_k, night_k;
    int day_from_minute, day_to_minute;
} mw_season;

typedef struct mw_promise { /* work already promised */
    mw_str what;
    mw_str holds;    /* trade or machine */
    uint32_t amount; /* people or pieces */
    double from_s;
    double until_s; /* the moment from which it is free again */
    mw_span at;
} mw_promise;

/* One currency beside the shop's own. */
typedef struct mw_exchange {
    uint16_t currency;
    double rate; /* 1 of it is so many of the shop's */
} mw_exchange;

/* A part of the price, and when it is asked for. */
typedef struct mw_payment {
    mw_str what;
    double share; /* of the price; all of a shop's sum to 1 */
    mw_str at;    /* `order`, `start`, `half`, `ready`, the name of a step or of a mould */
    mw_span at_at;
    double after_s; /* so much later; 0 and more */
} mw_payment;

/* A value of the shop that formulas read as shop.NAME and a job may override: productive_share, absence,
 * overhead, margin, tax, cure_reference, cure_doubling, day_warmer, night_warmer (these need no unit in
 * the file), and own lines. */
typedef struct mw_shop_line {
    mw_str name;
    mw_span formula; /* may read other shop lines */
    mw_type type;
    mw_unit unit;
    mw_str source;
    mw_span name_at;
} mw_shop_line;

/* A value of a shop that the program itself reads, with what it may be: the one table that the loader, the job and
 * help share. */
typedef struct mw_shop_known {
    const char *name;
    const char *unit;         /* unit text, "1" for a plain number */
    double low, high;         /* in SI; an infinity for none */
    bool low_open, high_open; /* the limit itself is not allowed */
    const char *allowed;      /* the same for people: "from 0 % to less than 100 %" */
} mw_shop_known;
/* Returns the rows, ended by one with name NULL. */
const mw_shop_known *mw_shop_known_rows(void);
/* Returns the row of a name, or NULL. */
const mw_shop_known *mw_shop_known_find(mw_str name);
/* Whether a value in SI may be that of the row; NaN may not. */
bool mw_shop_known_allows(const mw_shop_known *known, double value);

typedef struct mw_shop {
    mw_str name;  /* as in the file's `shop` */
    mw_str title; /* `name` */
    uint32_t file;
    uint16_t currency;
    const mw_trade *trades;
    uint32_t trade_count;
    const mw_machine_row *machines;
    uint32_t machine_count;
    const mw_shift *shifts;
    uint32_t shift_count;
    const mw_day_row *days;
    uint32_t day_count;
    const mw_season *seasons; /* in order; later ones win; the first covers all months */
    uint32_t season_count;
    const mw_promise *promises;
    uint32_t promise_count;
    const mw_shop_line *lines;
    uint32_t line_count;
    mw_span energy_at; /* formula: price of energy; source MW_NONE: not reckoned */
    const mw_exchange *exchanges;
    uint32_t exchange_count;
    double exchange_day_s;   /* the day that the rates are of; NaN: not said */
    mw_name_list letterhead; /* lines at the head of a document */
    mw_str picture;          /* PNG file beside the shop's; empty: none */
    mw_span picture_at;
    mw_name_list included; /* sentences of a quotation */
    mw_name_list excluded;
    mw_name_list terms;
    const mw_payment *payments; /* none: all when ready */
    uint32_t payment_count;
} mw_shop;

typedef struct mw_caution {
    mw_str word;
    mw_str text;  /* what can hurt and what to do */
    mw_str defer; /* data sheet, local code, qualified person */
} mw_caution;

typedef struct mw_library mw_library;

/* Returns an empty library that borrows both; NULL when there is no memory. */
mw_library *mw_library_new(mw_measure *measure, mw_sources *sources) MW_MUST_USE;
void mw_library_free(mw_library *library);

/* Adds a folder at the end of the search order; one that does not exist is skipped. It may hold RECIPE.yaml files and the
 * folders materials and shops of .yaml files, and cautions.yaml. */
mw_status mw_library_folder(mw_library *library, const char *folder) MW_MUST_USE;

/* Finds and reads a shop: first, since it sets currency, exchange rates and units. Names match without
 * case, with blank, `-` and `_` alike; the file is shops/NAME.yaml. The first folder that has it wins. MW_FAILED:
 * unknown (with suggestion and the folders looked at) or broken; `at` is where the name was written. A broken
 * file changes nothing. Asking again gives the same row, and puts its currency, rates and units in
 * force again. Of two files of one folder with the same name neither is taken. */
mw_status mw_library_shop(mw_library *library, mw_str name, mw_span at, const mw_shop **shop,
                          mw_diags *diags) MW_MUST_USE;
/* Finds and reads a recipe (NAME.yaml) with all it builds on, merged. As above. */
mw_status mw_library_recipe(mw_library *library, mw_str name, mw_span at, const mw_recipe **recipe,
                            mw_diags *diags) MW_MUST_USE;
/* Finds a material; all material files of all folders are read at the first call, after the shop; a name in an earlier
 * folder hides the same in a later one, twice in one folder is an error. A broken file fails every call; what is
 * wrong is said again only to a sink that has no errors yet. */
mw_status mw_library_material(mw_library *library, mw_str name, mw_span at,
                              const mw_material **material, mw_diags *diags) MW_MUST_USE;
/* Finds a caution by its word; NULL when there is none of that word. Loaded at the
 * first call, as above. */
mw_status mw_library_caution(mw_library *library, mw_str word, mw_span at,
                             const mw_caution **caution, mw_diags *diags) MW_MUST_USE;

/* Calls `each` with the names of recipes (files found, without reading them), or of all materials, in the
 * order of the folders, hidden ones left out. The recipes' names are only lent. MW_IO: a folder cannot be read. */
mw_status mw_library_recipes(mw_library *library, void (*each)(void *context, mw_str name),
                             void *context) MW_MUST_USE;
mw_status mw_library_materials(mw_library *library,
                               void (*each)(void *context, const mw_material *material),
                               void *context, mw_diags *diags) MW_MUST_USE;

/* Whether two names mean the same: without case; blank, `-` and `_` alike. */
bool mw_same_name(mw_str a, mw_str b);
/* Adds the name as a word for paths: blanks and `-` as `_`, lower case. */
void mw_name_word(mw_str name, mw_text *out);

/* Builds the shift calendar of a shop (`name` empty: the first; `always`: rate 1 day and night), holidays and part days
 * included; NULL when there is no memory or no such shift. The caller frees it. */
mw_calendar *mw_shop_shift(const mw_shop *shop, mw_str name) MW_MUST_USE;
/* What a season's room does to cure. */
typedef struct mw_cure_rule {
    double reference_k; /* temperature of the figures: rate 1 */
    double doubling_k;  /* rate doubles per so many kelvin: common practice, no source */
    double day_shift_k, night_shift_k; /* added to every season's temperatures (a heated room) */
    double energy_jmol; /* above 0: the material's own, by Arrhenius' law, in place of doubling */
    double tent_k;      /* a heated tent: it is never colder than this; 0: none */
    double coldest_k;   /* its data reach from here; 0: MW_CURE_REACH_K below the reference */
    double hottest_k;   /* and to here; 0: MW_CURE_REACH_K above it */
} mw_cure_rule;

/* How far from the reference a rule without limits of its own is trusted, K. Common practice, no source. */
#define MW_CURE_REACH_K 40.0
/* Builds the cure calendar by day and night temperature of each season: rate exp(E / R (1 / reference - 1 / T)) where
 * the rule has an energy, else 2^((T - reference) / doubling) (at most 2^100 either way). NULL when there is no memory,
 * `doubling_k` is not above 0, or `energy_jmol` or `tent_k` is below 0. The caller frees it. */
mw_calendar *mw_shop_cure(const mw_shop *shop, const mw_cure_rule *rule) MW_MUST_USE;
/* Builds the calendar that runs at rate 1 while what cures is colder or hotter than the data of the rule reach (a
 * nanokelvin is nothing), else at 0: an amount of it is time for which the cure calendar is a guess. NULL as above. */
mw_calendar *mw_shop_cure_beyond(const mw_shop *shop, const mw_cure_rule *rule) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
