/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The job: moulds bound to recipes in one sheet, with the plan, postings, overrides, undo and what-if. */
#ifndef MOULDWRIGHT_JOB_H
#define MOULDWRIGHT_JOB_H

#include "mouldwright/plan_search.h"
#include "mouldwright/progress.h"
#include "mouldwright/recipe.h"
#include "mouldwright/sheet.h"

#ifdef __cplusplus
extern "C" {
#endif

typedef struct mw_job mw_job;

typedef struct mw_job_options {
    double today_s; /* the date of the estimate: midnight, seconds since 1970-01-01 */
    const char *const
        *folders; /* recipe folders in search order; "" stands for the job's own folder */
    size_t folder_count;
} mw_job_options;

/* Returns an empty job (no shop, no moulds); NULL when there is no memory. Options are copied. */
mw_job *mw_job_new(const mw_job_options *options) MW_MUST_USE;
void mw_job_free(mw_job *job);

/* Opens a job file into an empty job, whole or not at all: all errors of the file in one run. */
mw_status mw_job_open(mw_job *job, const char *path, mw_diags *diags) MW_MUST_USE;

/* Statements of the opened file that show something (formulas, why, what if, reports), in its order, for the caller to
 * say once the job is open. Owned by the job. */
const mw_span *mw_job_asks(const mw_job *job, size_t *count);

/* The contexts of the job, owned by it. The sheet changes with structural edits: ask again after each statement. */
mw_measure *mw_job_measure(mw_job *job);
mw_sources *mw_job_sources(mw_job *job);
mw_library *mw_job_library(mw_job *job);
mw_sheet *mw_job_sheet(mw_job *job);
const mw_shop *mw_job_shop(const mw_job *job); /* NULL: none yet */
const char *mw_job_path(const mw_job *job);    /* NULL: not from a file */
/* Name for the prompt: the file's name without folder and ending, or "job". */
mw_str mw_job_name(const mw_job *job);

/* The functions that a job adds to the language (round_money, workday_after ...), for help. */
mw_host mw_job_functions(void);

/* Told a name that can stand in a path; `more`: something can stand behind it. The text is lent for the call. */
typedef void (*mw_name_teller)(void *context, mw_str name, bool more);
/* Tells what can stand behind a stem of a path: "" gives lines, moulds and the words moulds, shop, job, materials;
 * "hull_port" its steps and quantities; "hull_port.heavy" the quantities of the step. A name may be told twice. For
 * completion. */
void mw_job_names_below(const mw_job *job, mw_str stem, mw_name_teller each, void *context);

/* From now on long work tells `progress` (lent until the next call; NULL: nobody) how far it is. Told to stop, a statement
 * fails with the code STOPPED and changes nothing. */
void mw_job_watch(mw_job *job, const mw_progress *progress);

/* The headline of the job. */
typedef struct mw_headline {
    double cost;    /* money of the shop's currency; NaN: none */
    double price;   /* before tax */
    double hours_s; /* labour */
    double ready_s; /* moment; NaN: none */
} mw_headline;
mw_headline mw_job_headline(const mw_job *job);

typedef enum mw_reply_kind {
    MW_REPLY_NOTHING, /* nothing to show: blank, shop, include ... */
    MW_REPLY_VALUE,   /* `answer` in `values` */
    MW_REPLY_CHANGE,  /* before -> after, what changed, reason */
    MW_REPLY_WHAT_IF, /* `table` */
    MW_REPLY_WHY,     /* `tree` */
    MW_REPLY_COMMAND  /* a report or session word: the caller's business */
} mw_reply_kind;

/* A node of a derivation. Children are the values that the formula reads. */
typedef struct mw_why_node {
    mw_str name; /* as short as it can be below its parent; full at the top */
    mw_str full; /* full path */
    double value;
    mw_type type;
    mw_unit unit;
    mw_str formula; /* empty: a value */
    mw_span from;   /* of the formula or value; source MW_NONE: made by the program */
    mw_str source;  /* published source or `common practice, no source`; empty: none given */
    mw_str note;    /* `set here (usual: 4)`, `made by the program`, `see above`, or empty */
    bool overridden;
    uint32_t depth; /* 0: the top */
} mw_why_node;

/* One alternative of a what-if beside the others. */
typedef struct mw_what_if_row {
    mw_str name;
    mw_type type;
    mw_unit unit;
    bool input; /* one of those that are varied */
    bool goal;  /* asked for by its name */
    bool most;  /* a goal of which more is better */
    double now;
    const double *values; /* one an alternative */
} mw_what_if_row;

/* A condition of a recipe that holds and that somebody should look at. */
typedef struct mw_warning_view {
    uint32_t mould, step; /* step MW_NONE: of the mould */
    mw_str what;          /* full path of the condition: `why` explains it */
    mw_str text;
    mw_code unclear; /* why it cannot be told whether it holds; MW_CODE_COUNT: it holds */
} mw_warning_view;

typedef struct mw_reply {
    mw_reply_kind kind;
    mw_statement statement; /* as read; spans are in `mw_job_sources()` */
    /* VALUE: results (SI); texts through mw_values_text_of() */
    mw_meaning meaning;
    const double *values;
    /* CHANGE */
    mw_str what;     /* full path or name of what was set; empty: structural (mould, shop ...) */
    mw_str shown;    /* the quantity whose values are given, where several were set; else empty */
    uint32_t others; /* so many more were set with it */
    const mw_str *
        kept; /* quantities that it reaches, but which keep a narrower value of their own: full paths */
    uint32_t kept_count;
    bool nowhere; /* all do: there are no values */
    bool fresh;   /* it was not there before: no old value */
    bool gone;    /* it is not there any more: no new value */
    double old_value;
    mw_type old_type;
    mw_unit old_unit;
    double new_value;
    mw_type type;
    mw_unit unit;
    mw_headline before, after;
    mw_str reason;                   /* why the ready date moved; empty: it did not */
    const mw_warning_view *warnings; /* conditions that hold now and did not before */
    uint32_t warning_count;
    mw_changes changes;
    /* WHAT_IF */
    const mw_what_if_row *rows;
    uint32_t row_count;
    uint32_t column_count;
    const mw_str *heads;   /* names of the alternatives; NULL: they have numbers, from 1 */
    bool weighed;          /* only those are shown that no other beats */
    uint32_t tried;        /* so many were worked out */
    const uint32_t *alike; /* weighed: so many others come to the same; one an alternative */
    mw_str put_by;         /* CHANGE: the alternative that was saved under this name; else empty */
    /* WHY: in depth-first order */
    const mw_why_node *nodes;
    uint32_t node_count;
} mw_reply;

/* Says one statement that stands in `span` of a source of mw_job_sources(). MW_FAILED: diagnosed, the job is
 * unchanged. What the reply points to is valid until the next call. */
mw_status mw_job_say(mw_job *job, mw_span span, mw_reply *reply, mw_diags *diags) MW_MUST_USE;
/* Takes the newest change back, or makes it again; the reply says which statement it was. */
mw_status mw_job_undo(mw_job *job, mw_reply *reply, mw_diags *diags) MW_MUST_USE;
mw_status mw_job_redo(mw_job *job, mw_reply *reply, mw_diags *diags) MW_MUST_USE;

/* Keeps an alternative: `rest` is NUMBER, of the newest what-if, weighing or list of alternatives, or the NAME of a saved one;
 * one step that can be undone. NUMBER `as` NAME saves it under that name and leaves all figures as they are. */
mw_status mw_job_keep_alternative(mw_job *job, mw_span rest, mw_reply *reply,
                                  mw_diags *diags) MW_MUST_USE;
/* The saved alternatives side by side (those that `rest` names, else all): a WHAT_IF with heads. */
mw_status mw_job_alternatives(mw_job *job, mw_span rest, mw_reply *reply,
                              mw_diags *diags) MW_MUST_USE;

/* Saving. The job's own file is patched: only what says something else is replaced, comments, order, blanks and line ends
 * stay. Included files, lists and recipes are never written. */
typedef enum mw_save_mode {
    MW_SAVE_PLAIN, /* refused where somebody else changed the file meanwhile, or another file stands there */
    MW_SAVE_OVER, /* what stands there is lost */
    MW_SAVE_BOTH  /* the changes are put into the file as it stands now, and that is the job then */
} mw_save_mode;
typedef struct mw_save_reply {
    bool written;     /* false: there was nothing to save */
    bool joined;      /* somebody else's changes have come into the job: `change` */
    uint32_t count;   /* lines that were new, different or gone */
    const char *path; /* of the job's file; owned by the job */
    mw_reply change;
} mw_save_reply;
/* Writes the job to its file (path NULL) or to another, which is its file from then on. MW_FAILED: diagnosed
 * (CHANGED_MEANWHILE with the difference, FILE_EXISTS, NO_FILE, CANNOT_WRITE ...); what stood there is intact. */
mw_status mw_job_save(mw_job *job, const char *path, mw_save_mode mode, mw_save_reply *reply,
                      mw_diags *diags) MW_MUST_USE;
/* Goes back to the job as it stands in its file now; can be undone. */
mw_status mw_job_revert(mw_job *job, mw_reply *reply, mw_diags *diags) MW_MUST_USE;

typedef enum mw_unsaved_kind { MW_UNSAVED_NEW, MW_UNSAVED_SET, MW_UNSAVED_GONE } mw_unsaved_kind;
typedef struct mw_unsaved {
    mw_unsaved_kind kind;
    mw_str words;  /* the line: as it will be, or as it was where it is gone */
    mw_str before; /* SET: the line as it was */
} mw_unsaved;
/* What a save would change in the file. The list is valid until the next statement. */
mw_status mw_job_unsaved(mw_job *job, const mw_unsaved **list, uint32_t *count) MW_MUST_USE;

/* Moulds in the order of the job, steps in the order of the recipe. Indices count from 0. */
typedef struct mw_mould_view {
    mw_str name;
    const mw_recipe *recipe;
    mw_span from;
} mw_mould_view;
uint32_t mw_job_mould_count(const mw_job *job);
mw_mould_view mw_job_mould(const mw_job *job, uint32_t at);
uint32_t mw_job_mould_find(const mw_job *job, mw_str name); /* MW_NONE: none */

/* The cell of a quantity: of a step, or of the mould (step MW_NONE); MW_NONE if there is none. `quantity` is a
 * NUL-terminated name such as "hours", "cost", "ready". */
uint32_t mw_job_cell(const mw_job *job, uint32_t mould, uint32_t step, const char *quantity);
/* Its value; NaN where there is none. */
double mw_job_value(const mw_job *job, uint32_t mould, uint32_t step, const char *quantity);
/* A value of the whole job ("job.cost") or the shop ("shop.tax"); NaN where there is none. */
double mw_job_total(const mw_job *job, const char *name);
/* The material that a step uses in the role of use row `use`. */
const mw_material *mw_job_material(const mw_job *job, uint32_t mould, uint32_t step, uint32_t use);
/* Adds the full path of a cell ("hull_port.heavy.plies", "job.cost", a line's name). */
void mw_job_cell_words(const mw_job *job, uint32_t cell, mw_text *out);

/* The user's own lines, in the order of the job. */
uint32_t mw_job_line_count(const mw_job *job);
typedef struct mw_line_view {
    mw_str name;
    mw_span formula;
    uint32_t
        cell; /* MW_NONE: it has a value for each mould, read from the usual value of an input */
} mw_line_view;
mw_line_view mw_job_line(const mw_job *job, uint32_t line);
uint32_t mw_job_line_cell(const mw_job *job, uint32_t line);

/* Postings: mould x step x kind of cost, whole minor units of the shop's currency, rounded once. Every breakdown of money
 * groups these. */
typedef enum mw_posting_kind {
    MW_POST_MATERIAL,
    MW_POST_LABOUR,
    MW_POST_MACHINE,
    MW_POST_ENERGY,
    MW_POST_OUTSIDE,
    MW_POST_OVERHEAD,
    MW_POST_CONTINGENCY, /* from here on of the mould, step MW_NONE, and no cost */
    MW_POST_MARKUP,
    MW_POST_MARGIN,
    MW_POST_KINDS
} mw_posting_kind;
typedef struct mw_posting {
    uint32_t mould;
    uint32_t step;
    mw_posting_kind kind;
    uint32_t use; /* MATERIAL: the use row of the step; else MW_NONE */
    int64_t minor;
} mw_posting;
/* Makes the list of all postings (of one mould, or MW_NONE: of all) that are not 0, in order; `*postings` is valid
 * until the next call. MW_FAILED: a posting is in error (diagnosed once a root, naming it). */
mw_status mw_job_postings(mw_job *job, uint32_t only, const mw_posting **postings, uint32_t *count,
                          mw_diags *diags) MW_MUST_USE;

/* Needs of one material over the job, or over one mould. Amounts in SI of its stock type. */
typedef struct mw_need {
    const mw_material *material;
    double net, lost, total;
    int64_t cost_minor;      /* sum of its postings */
    double packs;            /* of the usual size, whole job only; NaN for one mould */
    double left_over;        /* whole job only */
    int64_t left_over_minor; /* worth of what is left over, whole job only */
} mw_need;
/* In the order of first use. `mould` MW_NONE: the whole job. As above. */
mw_status mw_job_needs(mw_job *job, uint32_t only, const mw_need **needs, uint32_t *count,
                       mw_diags *diags) MW_MUST_USE;

/* The calendar: sessions in the order of their start. */
typedef struct mw_session {
    uint32_t mould, step;
    uint32_t number, of;   /* session 1 of 2 */
    double start_s, end_s; /* INFINITY: cannot be done */
    double wait_until_s; /* when what it waits for after it (gel, cure) is over; end_s if nothing */
    double queued_s;     /* clock time that it waited for people or machines */
    uint32_t crew;
    double window_until_s; /* until when the next step must cover it; NAN: no window */
    bool done;             /* in the past: it has no length, waits count from it */
    bool sets_date;        /* its step is in the chain of work that leads to the last date */
    uint32_t hold_count;   /* people, machines and places, see mw_job_holds() */
    uint32_t first_hold;
} mw_session;
/* A window that is missed: `late` must cover `early` by `until_s`, but ends at `ends_s`. */
typedef struct mw_window_miss {
    uint32_t mould;
    uint32_t early, late; /* steps */
    double until_s, ends_s;
} mw_window_miss;
const mw_session *mw_job_sessions(const mw_job *job, uint32_t *count);
/* What a session holds while it works and, where it says so, until its wait is over. */
const mw_plan_need *mw_job_holds(const mw_job *job, const mw_session *of);
/* People of a trade, or a machine or place: trades first, in the order of the shop. */
typedef struct mw_resource_view {
    mw_str name;
    bool machine;
    double count; /* as the plan had it */
    const mw_calendar *shift;
} mw_resource_view;
uint32_t mw_job_resource_count(const mw_job *job);
mw_resource_view mw_job_resource(const mw_job *job, uint32_t resource);
/* What others have of them already. */
const mw_plan_promise *mw_job_promised(const mw_job *job, uint32_t *count);
const mw_window_miss *mw_job_misses(const mw_job *job, uint32_t *count);

/* What is proved of the plan: verdict, and no earlier last ready date than `bound_s`; `last_s` is the date when all is
 * ready. False: there is no plan, or some mould has no dates. */
bool mw_job_plan(const mw_job *job, mw_plan_outcome *out);
/* Searches longer for a better plan, so many schedules (0: some sixty times those of an answer). Later plans set out from
 * what it found, until the job is closed. A stop keeps the best so far. The reply is a CHANGE. */
mw_status mw_job_improve(mw_job *job, uint64_t schedules, mw_reply *reply,
                         mw_diags *diags) MW_MUST_USE;

/* Keeps the order of the present plan from now on: sets `job.order`, as a change that is undone by one step, told as the
 * user's `statement`. The reply is a CHANGE of nothing but headline and warnings. MW_FAILED (diagnosed): there is no plan,
 * or an order is kept already. */
mw_status mw_job_adopt(mw_job *job, mw_span statement, mw_reply *reply,
                       mw_diags *diags) MW_MUST_USE;
/* Sessions in the order that is kept, `*held` of them with a moment before which they are not begun; 0: none is kept. */
uint32_t mw_job_kept(const mw_job *job, uint32_t *held);

/* Makes the list of the conditions of recipes (`warns`) that hold, or of which it cannot be told, in one mould or
 * (MW_NONE) in all, in order. Valid until the next statement. */
mw_status mw_job_warnings(mw_job *job, uint32_t only, const mw_warning_view **warnings,
                          uint32_t *count) MW_MUST_USE;

/* A step that can never be done as things stand; what only follows one is not listed. */
typedef struct mw_never {
    uint32_t mould, step;
    double work_s;  /* clock time of one of its sessions */
    bool at_one_go; /* it may not stop when the shift ends */
    mw_str lacking; /* trade, machine or place of which it needs more than there is; empty: its
                         * session fits no open stretch of its calendar */
    uint32_t needed, there;
} mw_never;
const mw_never *mw_job_nevers(const mw_job *job, uint32_t *count);
/* Appends `heavy on hull can never be done: ...`. */
void mw_job_never_words(const mw_job *job, const mw_never *of, mw_text *out);

/* Cautions of the materials and steps in use (in one mould, or MW_NONE: in all), each once with where it comes
 * from. */
typedef struct mw_caution_view {
    const mw_caution *caution;
    mw_str where; /* steps and materials, at most a few, `and n more` */
} mw_caution_view;
mw_status mw_job_cautions(mw_job *job, uint32_t only, const mw_caution_view **cautions,
                          uint32_t *count, mw_diags *diags) MW_MUST_USE;

#ifdef __cplusplus
}
#endif

#endif
