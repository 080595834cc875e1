/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Grids: what a report says, once, from which both the table on the screen and the JSON come. */
#ifndef MW_REPORT_GRID_H
#define MW_REPORT_GRID_H

#include "mouldwright/date.h"
#include "mouldwright/json.h"
#include "mouldwright/money.h"
#include "mouldwright/number.h"
#include "mouldwright/report.h"

typedef enum field_kind { FIELD_NONE, FIELD_TEXT, FIELD_VALUE, FIELD_CELL, FIELD_MONEY } field_kind;

typedef struct field {
    field_kind kind;
    mw_str text;  /* TEXT: owned by the report's arena */
    double value; /* VALUE, SI */
    mw_type type;
    mw_unit unit;  /* VALUE: shown in */
    uint32_t cell; /* CELL: with all its elements */
    int64_t minor; /* MONEY */
    bool fixed;    /* VALUE: shown as `units` of the last decimal, so that printed parts add up */
    int64_t units;
    bool own_unit; /* VALUE: the unit stands in the cell, not in the head */
} field;

#define GRID_COLUMNS_MAX 16

typedef struct column {
    const char *key;  /* in JSON */
    const char *head; /* on the screen */
    mw_align align;
    int decimals; /* of values */
    bool sums;    /* values add up to the total row: parts are shown so that they do in print */
    mw_unit unit; /* MW_NONE: none in the head */
    bool spare;   /* left out on a narrow screen */
} column;

typedef enum grid_place { GRID_EVERYWHERE, GRID_JSON, GRID_SCREEN } grid_place;

typedef struct grid {
    const char *key;
    grid_place only;
    const char *title; /* on the screen, NULL: none */
    column columns[GRID_COLUMNS_MAX];
    uint32_t column_count;
    field *fields;
    uint32_t field_count, field_capacity;
    bool has_total; /* the last row is the total */
} grid;

#define REPORT_GRIDS_MAX 12

/* A report being written. */
typedef struct report {
    mw_job *job;
    const mw_style *style;
    mw_diags *diags;
    mw_arena *arena;
    const char *word;
    grid grids[REPORT_GRIDS_MAX];
    uint32_t grid_count;
    mw_str drawing; /* above the tables, on the screen */
    mw_str *notes;  /* lines below */
    bool *note_warns;
    uint32_t note_count, note_capacity, warn_capacity;
    bool has_proof;
    mw_plan_outcome proof; /* `plan` in JSON */
    bool lost;
    int digits; /* of the shop's currency */
    const char *currency;
    mw_unit hour, day, money, percent;
} report;

mw_status report_start(report *made, mw_job *job, const mw_request *request, mw_diags *diags);
void report_end(report *made);
/* Adds a grid with its columns; the last `sums` etc. are set by grid_column(). */
grid *report_grid(report *in, const char *key, const char *title);
void grid_column(grid *in, const column *wanted);
/* Add the next field, from left to right. */
void grid_text(report *in, grid *to, mw_str text);
void grid_none(report *in, grid *to);
void grid_value(report *in, grid *to, double value, mw_type type, mw_unit unit);
void grid_field(report *in, grid *to, const field *wanted);
void grid_cell(report *in, grid *to, uint32_t cell);
void grid_money(report *in, grid *to, int64_t minor);
/* A line below the tables; a warning is marked. */
void report_note(report *in, bool warning, mw_str text);
/* Writes it all. */
mw_status report_write(report *in, mw_text *out);
/* Parts of sums are given the digits with which they add up in print. */
void grid_settle(report *in, grid *of);
/* The head of a column, a field as people read it. */
void column_words(const report *in, const column *of, mw_text *out);
void field_words(const report *in, const field *of, const column *where, mw_text *out);
/* Makes a report by its word; MW_NOT_FOUND: there is none. */
mw_status report_make(report *made, const mw_request *request, uint32_t mould);
/* Adds a field as JSON. */
void field_json(const report *in, const field *of, mw_json *json);
/* The number in a unit; an amount of money that is off whole coins only by the last bits of its
 * sums is put right. */
double value_shown(mw_job *job, double value, mw_type type, mw_unit unit);
/* A value as JSON object: {"value", "unit"}, {"date"}, {"truth"}, {"text"} or {"error"}. */
void value_json(mw_job *job, double value, mw_type type, mw_unit unit, mw_json *json);
/* The same with {"values", "unit"} for lists and {"low", "likely", "high", "unit"} for ranges. */
void meaning_json(mw_job *job, const mw_meaning *of, const double *values, mw_json *json);
/* The value of a cell, with all its elements: as JSON, for people. */
void cell_json(mw_job *job, uint32_t cell, mw_json *json);
void cell_words(mw_job *job, uint32_t cell, mw_text *out);
/* Rounds a value of a unit to whole units of the last decimal. */
int64_t round_units(mw_measure *measure, double value, mw_unit unit, int decimals);

/* The mould that is asked for; MW_NONE: all. MW_FAILED: there is none of that name, diagnosed. */
mw_status report_find_mould(mw_job *job, const mw_request *request, uint32_t *mould,
                            mw_diags *diags);
/* The same for a report that is of a mould; MW_NONE for one that is of days or of all. */
mw_status report_subject(mw_job *job, const mw_request *request, uint32_t *mould, mw_diags *diags);

/* -- the reports -- */
mw_status report_moulds(report *in, uint32_t mould);
mw_status report_takeoff(report *in, uint32_t mould);
mw_status report_hours(report *in, uint32_t mould);
mw_status report_waits(report *in, uint32_t asked);
mw_status report_calendar(report *in, uint32_t mould);
mw_status report_cost(report *in, uint32_t mould);
mw_status report_cautions(report *in, uint32_t mould);
mw_status report_buying(report *in, uint32_t mould);
mw_status report_pricing(report *in, uint32_t mould);
mw_status report_timeline(report *in, uint32_t mould);
/* Of the day or week that the request names; of all. */
mw_status report_roster(report *in, const mw_request *request);
mw_status report_use(report *in, const mw_request *request);
mw_status report_shop(report *in);

/* What was written, in the report's arena; frees the text. */
mw_str report_take(report *in, mw_text *text);
/* A piece of text in the report's arena. */
mw_str report_text(report *in, const char *format, ...) MW_PRINTF(2, 3);

#endif
