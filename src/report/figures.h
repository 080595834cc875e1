/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Fields that several reports show: quantities of moulds and steps, sums of postings. */
#ifndef MW_REPORT_FIGURES_H
#define MW_REPORT_FIGURES_H

#include "grid.h"

/* A quantity of a mould, or of a step of it. */
typedef struct figure_of {
    uint32_t mould, step; /* step MW_NONE: of the mould */
    mw_unit unit;         /* shown in; MW_NONE: as it is usually */
} figure_of;
/* Adds a quantity; nothing where there is none. */
void figure_add(report *in, grid *to, figure_of of, const char *quantity);
/* Adds a value of the job ("job.hours"), shown in that unit. */
void figure_total(report *in, grid *to, const char *name, mw_type type, mw_unit unit);

/* Whether a posting belongs to the moulds that are asked for. */
bool figure_asked(uint32_t asked, uint32_t mould);
/* The sum of the postings of one mould (MW_NONE: of all that are asked for) and one kind
 * (MW_POST_KINDS: all costs). */
typedef struct money_filter {
    uint32_t asked, mould, step;
    int kind; /* mw_posting_kind; MW_POST_KINDS: all costs; -1: all, the price */
    bool by_step;
} money_filter;
int64_t figure_money(const mw_posting *postings, uint32_t count, const money_filter *filter);

/* Step names in the order of first use over the moulds. */
typedef struct step_names {
    mw_str *items;
    uint32_t count, capacity;
} step_names;
mw_status figure_steps(report *in, uint32_t asked, step_names *names);
/* The step of that name in a mould, or MW_NONE. */
uint32_t figure_step(const mw_job *job, uint32_t mould, mw_str name);

/* Columns that many reports have. */
void columns_text(grid *to, const char *key, const char *head);
void columns_value(grid *to, const char *key, const char *head, int decimals, mw_unit unit);
void columns_sum(grid *to, const char *key, const char *head, int decimals, mw_unit unit);
void columns_money(report *in, grid *to, const char *key, const char *head);
void columns_date(grid *to, const char *key, const char *head);

/* `Mon 2027-01-11`. */
mw_str figure_day(report *in, double moment_s);
/* Adds a moment: in JSON a date with its time, `never` as no value; for people `07:30`, or the day in front of it. */
void figure_moment(report *in, grid *to, double moment_s, bool with_day);

/* Whether a due date was set; whether one mould has one. */
bool figure_is_due(double due_s);
bool figure_any_due(const report *in);
/* Warns of each mould (or one) that is ready later than it is due. */
void figure_lates(report *in, uint32_t asked);

#endif
