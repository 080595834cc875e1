/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a job is made of inside: document, kits (compiled recipes), moulds bound to them, one build of it all. */
#ifndef MW_JOB_MODEL_H
#define MW_JOB_MODEL_H

#include "mouldwright/job.h"
#include "mouldwright/keeper.h"
#include "mouldwright/money.h"
#include "mouldwright/names.h"
#include "mouldwright/plan.h"

/* ---- the document: statements that were accepted ---- */

typedef enum entry_kind {
    ENTRY_SHOP,
    ENTRY_START,
    ENTRY_MOULD,
    ENTRY_SET,
    ENTRY_ALTERNATIVE /* what could be set; nothing is worked out of it until it is asked for */
} entry_kind;

/* A field of a mould: a formula, or a number whose unit stands in the head of a CSV column. */
typedef struct entry_field {
    mw_str name;
    mw_span name_at;
    mw_span value;
    mw_unit head_unit; /* MW_NONE: the value is a formula */
    double number;     /* with head_unit: as written */
    bool quoted;       /* the span is a bare text (a CSV cell): taken as it is for names */
} entry_field;

#define ENTRY_PARTS_MAX 4

/* A file that the job's own text names: lines that it includes, or a list of moulds. */
typedef struct import {
    bool list;                        /* a list of moulds */
    mw_span statement;                /* that names it */
    mw_span name;                     /* inside its quotes */
    mw_str path;                      /* as it is opened */
    const struct entry *const *items; /* all that it says */
    uint32_t count;
} import;

typedef struct entry {
    entry_kind kind;
    mw_str key; /* one entry a key: `shop`, `start`, `mould NAME`, `set PATH`, `alternative NAME` */
    const import *from; /* NULL: the job's own words */
    mw_span span;
    mw_str name; /* MOULD, ALTERNATIVE, SHOP: name; SET: the whole path */
    mw_span name_at;
    mw_str parts[ENTRY_PARTS_MAX]; /* SET */
    uint32_t part_count;
    mw_span formula; /* SET, START */
    bool uses_usual;
    bool broken; /* it could not be read, which has been said: only what it defines is known */
    bool unsure; /* and that is a guess */
    entry_field *fields; /* MOULD; ALTERNATIVE: path and formula of what it sets */
    uint32_t field_count;
} entry;

/* A document is an ordered list of entries, borrowed from the job's arena; never changed once made (but a longer one may
 * share its list). First stand those of
 * included files, then the job's own words in their order, with the rows of a list where the list is named. A name
 * that an import says and the document has not was taken out. */
typedef struct document {
    const entry *const *items;
    uint32_t count;
    uint32_t included; /* so many of the first are from included files */
    const import *const *imports;
    uint32_t import_count;
} document;

/* ---- kits: a recipe compiled ---- */

typedef enum slot_kind {
    SLOT_LINE,     /* a row of the recipe: mould or step */
    SLOT_STANDARD, /* a standard quantity that the step did not give */
    SLOT_USE_NET,
    SLOT_USE_LOSS,
    SLOT_USE_GROSS,
    SLOT_USE_MATERIAL, /* text */
    SLOT_RULE,         /* made by the program; cannot be set */
    SLOT_PLAN          /* comes out of the plan */
} slot_kind;

typedef struct slot {
    slot_kind kind;
    mw_str quantity;
    uint32_t step; /* MW_NONE: of the mould */
    uint32_t use;  /* of the step; MW_NONE */
    const mw_line_row *row;
    const mw_use_row *use_row;
    mw_span formula; /* source MW_NONE: none */
    mw_str source;
    mw_type type;
    mw_unit unit;
    mw_template *made;
    double low, high; /* NAN: no limit */
    bool whole;       /* whole numbers only */
} slot;

typedef enum port_kind { PORT_FIGURE, PORT_GLOBAL, PORT_FOLLOWS, PORT_USUAL } port_kind;

/* Something outside the slots that a template reads. Its number is slot_count + index. */
typedef struct port {
    port_kind kind;
    uint32_t step, use; /* FIGURE */
    mw_str name;        /* FIGURE: figure; */
    mw_span at;
    uint32_t global;   /* GLOBAL: index in the build's globals */
    uint32_t slot;     /* USUAL: whose usual value */
    uint32_t depth;    /* USUAL: 1 the recipe built on, 2 the one below that ... */
    mw_template *made; /* USUAL: its formula */
    mw_type type;
    mw_unit unit;
} port;

typedef struct kit {
    struct build *build;
    const mw_recipe *recipe;
    mw_names *names; /* "step.quantity" or "quantity": the id is the slot */
    slot *slots;
    uint32_t slot_count, slot_capacity;
    port *ports;
    uint32_t port_count, port_capacity;
    uint32_t *first_use; /* by step: index of its first use in a mould's materials */
    uint32_t use_count;
    const mw_material **usual_materials; /* by use */
    uint32_t *warnings;                  /* slots whose rows warn */
    uint32_t warning_count;
    bool laid;  /* its slots are known */
    bool sound; /* compiled without a fault */
} kit;

/* ---- moulds ---- */

typedef enum layer_rank {
    RANK_MOULD_STEP, /* hull.heavy.plies = */
    RANK_MOULD,      /* hull.flange = , hull.crew = */
    RANK_FIELD,      /* mould hull: flange 100 mm */
    RANK_ALL_STEP,   /* moulds.heavy.plies = */
    RANK_ALL,        /* moulds.flange = */
    RANK_JOB_LINE    /* flange = , for an input */
} layer_rank;

typedef struct layer {
    layer_rank rank;
    const entry *set;         /* all but RANK_FIELD */
    const entry_field *field; /* RANK_FIELD */
    uint32_t hidden;    /* cell of the next wider definition where `usual` is read; else MW_NONE */
    struct layer *next; /* wider */
} layer;

typedef struct mould {
    mw_str name;
    const entry *from;
    kit *kit;
    uint32_t *cells;               /* by slot, then by port: what templates are bound to */
    layer **layers;                /* by slot, narrowest first; NULL: none */
    const mw_material **materials; /* by use */
    uint32_t *after;               /* moulds that come before it */
    uint32_t after_count;
    double from_s;   /* not before; -INFINITY */
    bool incomplete; /* some of its inputs could not be taken */
} mould;

/* A named value of shop, job or materials. */
typedef struct global {
    mw_str name; /* "shop.margin" */
    uint32_t cell;
    mw_type type;
    mw_unit unit;
    mw_span formula;
    mw_str source;
    const entry *set; /* override, or NULL */
    uint32_t hidden;
    bool settable;
    bool value_only; /* held as a value: `value` */
    double value;
    const char *sum_of; /* sum of this quantity over the moulds; or NULL */
    bool planned;       /* an output of the plan, which has made the cell */
    uint32_t stock;     /* sum of what is used of this stock (sum_of ""), else MW_NONE */
} global;

/* A material that some mould uses. */
typedef struct stock {
    const mw_material *material;
} stock;

/* Where a cell belongs. */
typedef struct label {
    uint32_t mould; /* MW_NONE: none of a mould */
    uint32_t slot;
    const mw_scope *scope; /* of its formula; NULL: that of the job's lines */
} label;

/* ---- one build: the sheet made from a document ---- */

/* What an edit in place has overwritten, to be put back when it is cancelled: a label, or that a definition had no
 * hidden cell. */
typedef struct edit_note {
    uint32_t *hidden; /* NULL: it is a label */
    uint32_t cell;
    label before;
} edit_note;

typedef struct build {
    struct mw_job *job;
    document document;
    mw_arena *arena;
    mw_sheet *sheet;
    const mw_shop *shop; /* NULL: no shop */
    kit **kits;
    uint32_t kit_count;
    mould *moulds;
    uint32_t mould_count;
    mw_names *mould_names; /* id is the mould */
    mw_names *global_names;
    global *globals;
    uint32_t global_count, global_capacity;
    stock *stocks;
    uint32_t stock_count, stock_capacity;
    label *labels; /* by cell */
    uint32_t label_count, label_capacity;
    bool lost;    /* a look-up had no memory for the name it looks for */
    bool goes_on; /* past faults, to find them all; it is not kept then */
    bool
        shop_lost; /* the shop is unknown or broken, which has been said: another stands in for it */
    mw_names *unmade; /* moulds of which that has been said; NULL: none */
    bool noting;      /* an edit in place is under way: notes are taken */
    edit_note *notes; /* oldest first */
    uint32_t note_count, note_capacity;
    layer *spare_layers; /* detached ones: to attach again takes no memory */
    mw_scope scope;      /* the names of the job's lines */
    mw_scope shop_scope; /* those of the shop file */
    uint32_t *list;      /* what the scope hands out */
    uint32_t list_capacity;
    struct plan_node *plan;
    mw_changes changes;         /* of the first computation */
    uint32_t yes_cell, no_cell; /* what `follows` reads */
    struct host_context *host;
} build;

/* One step back. */
typedef struct undo_step {
    document before, after;
    mw_span span; /* of the statement */
    mw_str key;   /* of the entry that changed; empty: several */
} undo_step;

/* The newest list of entries and how much of it is in use; documents share it. */
typedef struct entry_room {
    const entry **items;
    uint32_t used, capacity;
} entry_room;

/* What a keeper is told; `base` to `high`: the steps of the list of undo that are in the keeper's list as statements. */
typedef struct keeping {
    const mw_keeper *keeper; /* NULL: nobody */
    size_t base, high;
    bool whole;   /* the list holds a text: from then on undo and redo are told as texts */
    mw_kept next; /* of the change that is under way */
    bool pending; /* it is still to be told */
    bool told;    /* it was */
} keeping;

/* An alternative that can be kept: the lines that it sets. */
typedef struct offer {
    const mw_str *lines;
    uint32_t count;
} offer;

struct mw_job {
    mw_measure *measure;
    mw_sources *sources;
    mw_library *library;
    mw_arena *arena; /* document, names */
    double today_s;
    char **folders;
    size_t folder_count;
    char *path;
    build *build; /* never NULL once the job is made */
    mw_ast ast;
    undo_step *undo;
    size_t undo_count, undo_capacity, undo_at; /* undo_at: steps that are in force */
    struct rule_text *rule_texts;              /* texts of program rules, one a recipe */
    size_t rule_text_count, rule_text_capacity;
    mw_arena *scratch; /* of the newest reply */
    double *answer;
    uint32_t answer_room;
    mw_posting *postings;
    size_t posting_capacity;
    mw_span *asks; /* statements of the file that show something */
    size_t ask_count, ask_capacity;
    uint32_t open_files[16]; /* files being read, for include loops */
    uint32_t open_count;
    uint32_t draft_words;        /* source of the words of drafts, plus 1; 0: not made yet */
    const mw_progress *progress; /* NULL: nobody listens */
    bool stopped;                /* the present statement was told to stop */
    char *paper; /* the bytes of the job's file as it was read or saved last; owned */
    size_t paper_length;
    document saved; /* what they say */
    /* sessions ("hull_port.heavy.0") of the best plan that a longer search found; NULL: none yet */
    mw_names *known_names;
    double *known_s; /* their starts */
    uint32_t known_room;
    const import *importing; /* the outermost file being brought in, or NULL */
    /* While a file is opened: past a fault reading goes on to find the others, but keeps quiet about what may only follow
     * from it. */
    bool opening;
    bool unseen;      /* a file cannot be read: any name may stand in it */
    bool shop_unseen; /* the shop cannot be read: any unit or rate may stand in it */
    keeping keeping;
    entry_room entry_room;
    mw_arena *offer_arena; /* NULL: none yet */
    const offer *offers;   /* of the newest what-if, in its order */
    uint32_t offer_count;
};

#endif
