/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Alternatives inside: what is varied, what is shown, and the columns of both. */
#ifndef MW_JOB_WHATIF_H
#define MW_JOB_WHATIF_H

#include "parts.h"

enum { WHAT_IF_MOST = 64, WEIGH_MOST = 4096, ROWS_MOST = 96 };

/* One quantity that is varied. */
typedef struct setting {
    entry target;        /* path and parts */
    const mw_item *item; /* of a statement that lists its values; else NULL */
    uint32_t *cells;     /* that it reaches */
    uint32_t cell_count, cell_capacity;
    const slot *to;                   /* first slot reached, or NULL for a line or a global */
    const global *shop;               /* the global, or NULL */
    uint32_t mould;                   /* the only mould reached; MW_NONE: several or none */
    uint32_t shown_mould, shown_slot; /* what stands for all: the first that the setting moves */
    bool many;
    bool shadowed; /* something that it reaches has a narrower override */
    bool moves;    /* something that it reaches has none */
    mw_type type;
    mw_unit unit;
    bool anew;       /* cannot run as lanes */
    bool grid;       /* joined to the one before as every combination */
    uint32_t stride; /* columns for which a value stays */
    uint32_t count;  /* values */
    mw_span *spans;  /* of the values; source MW_NONE: not set in that column */
    double *values;  /* SI, where they run as lanes */
    uint32_t made;   /* source of the values that steps lead to; MW_NONE */
    bool lost;
} setting;

typedef struct comparing {
    mw_job *job;
    setting *settings;
    uint32_t setting_count;
    uint32_t columns, columns_most;
    bool anew;
    mw_what_if_row *rows;
    double **data; /* the values of each row, being filled */
    uint32_t *row_cells;
    mw_str *looks; /* the name by which another build finds it */
    uint32_t row_count;
    const mw_item **shown; /* rows that are asked for */
    uint32_t shown_count;
    mw_diags *diags;
} comparing;

/* -- whatif_settings.c -- */
/* Splits a path at its points into the parts of an entry; false: there are too many. */
bool entry_split(entry *target, mw_str path);
/* Starts a setting of that path; diagnoses what cannot be varied. */
mw_status setting_start(comparing *with, mw_str path, mw_span at, setting *of);
/* Reads its values, as the statement lists them. */
mw_status setting_values(comparing *with, const mw_item *item, setting *of);
/* Works out how the settings combine to columns. */
mw_status settings_combine(comparing *with);
/* The value of a setting in a column. */
uint32_t setting_at(const setting *of, uint32_t column);
void settings_free(comparing *with);

/* -- whatif_rows.c -- */
/* Chooses what is shown; all columns have room then. */
mw_status rows_choose(comparing *with);
/* The value of a name, in another build. */
double rows_value_in(build *other, mw_str name);

/* -- whatif.c -- */
/* Fills the rows, column by column. */
mw_status columns_run(comparing *with, mw_changes *changes);
/* Makes the build of one column. */
mw_status column_build(comparing *with, uint32_t column, build **out);
/* Reads settings and goals or rows of a statement. */
mw_status what_if_read(comparing *with, const mw_statement *statement);
/* Fills the reply. */
void what_if_reply(const comparing *with, mw_reply *reply);

/* -- alternatives.c -- */
/* The saved alternative of that name, or NULL. */
const entry *alternative_find(const mw_job *job, mw_str name);
/* Says that there is none. */
mw_status alternative_unknown(mw_job *job, mw_str name, mw_span at, mw_diags *diags);
/* Whether an alternative may have that name; diagnosed. */
mw_status alternative_name(const mw_job *job, mw_str name, mw_span at, mw_diags *diags);
/* Makes saved alternatives the columns. */
mw_status alternatives_columns(comparing *with, const entry *const *items, uint32_t count);

/* -- offers.c -- */
/* Remembers the columns, so that one can be kept; `chosen` NULL: all, in order. */
mw_status offers_set(comparing *with, const uint32_t *chosen, uint32_t count);

#endif
