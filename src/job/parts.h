/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions that the files of the job module share. */
#ifndef MW_JOB_PARTS_H
#define MW_JOB_PARTS_H

#include <errno.h>

#include "model.h"
#include "mouldwright/trade_kinetics.h"

/* A span that is nowhere. */
mw_span job_nowhere(void);
/* Copies a text into an arena; {NULL, 0} when there is no memory. */
mw_str job_copy(mw_arena *arena, mw_str text);

/* Tells how far long work is (below 0: not known); false: it shall stop, and so from then on until the next statement. */
bool job_goes_on(mw_job *job, double share);

/* -- document.c -- */
/* Turns a parsed statement that changes the document into entries appended to `list`. */
typedef struct entry_list {
    const entry **items;
    uint32_t count, capacity;
    mw_names *keys; /* of the items, in their order, where each key stands once; NULL: not kept */
    uint32_t included; /* so many of the first are from included files */
    const import **imports;
    uint32_t import_count, import_capacity;
} entry_list;
void entry_list_free(entry_list *list);
/* The entries that a statement stands for (one, or several for an include or a list of moulds). */
mw_status document_entries(mw_job *job, const mw_statement *statement, entry_list *list,
                           mw_diags *diags);
/* Appends. */
mw_status document_add(entry_list *list, const entry *item);
/* The key that a path has behind `set` or `mould`, in an arena; {NULL, 0} when there is no memory. */
mw_str document_key(mw_job *job, const mw_statement *statement, const char *word, mw_arena *arena);
/* What `restore PATH` or `drop NAME` takes out: entries of which only key, name and span count. */
mw_status document_taken(mw_job *job, const mw_statement *statement, entry_list *list);

/* -- document_broken.c -- */
/* Appends what a statement that cannot be read would have defined, as far as that can be told. */
mw_status document_broken(mw_job *job, mw_span line, entry_list *list);

/* -- document_file.c -- */
/* Reads a whole file of statements with all it includes. */
mw_status document_load(mw_job *job, const char *path, entry_list *list, mw_diags *diags);
/* The same of a source that is there already, named as the file. */
mw_status document_read(mw_job *job, uint32_t source, entry_list *list, mw_diags *diags);
/* What the file says that a statement names. */
mw_status document_import(mw_job *job, const mw_statement *statement, entry_list *list,
                          mw_diags *diags);
/* Adds the path of a file named in `span`, relative to the file that names it. */
void document_resolve(mw_job *job, mw_span named, mw_text *out);
mw_status document_add_import(entry_list *list, const import *made);

/* -- document_change.c -- */
/* Returns the index of the entry with that key, or MW_NONE. */
uint32_t document_find(const document *from, mw_str key);
/* Makes a document of what a file says. */
mw_status document_of_list(mw_job *job, const entry_list *list, document *out);
/* What is said now: entries, or a key that is taken out. */
typedef struct document_step {
    const entry_list *items; /* NULL: none */
    mw_str without;          /* empty: none */
} document_step;
/* Makes a document of `from` with a step made at the prompt. A key that is there is replaced in place; but what stood in
 * an import goes, and the new word stands at the end. `diags` NULL: nothing is refused. */
mw_status document_change(mw_job *job, const document *from, const document_step *step,
                          document *out, mw_diags *diags);

/* Whether a line or mould of that name would hide something fixed. */
bool document_taken_word(mw_str name);

/* -- copy.c -- */
/* The entries of `copy mould`: the new mould, and what was set for the old one. */
mw_status copy_entries(mw_job *job, const mw_statement *statement, entry_list *list,
                       mw_diags *diags);

/* Reads a file into the sources; diagnoses at `at`. */
mw_status job_read_source(mw_job *job, const char *path, mw_span at, uint32_t *source,
                          mw_diags *diags);

/* -- csv.c -- */
/* Reads a list of moulds; `at` is where it was named. */
mw_status csv_moulds(mw_job *job, const char *path, mw_span at, entry_list *list, mw_diags *diags);

/* -- kit.c, rules.c -- */
/* Lays out and compiles a recipe for a build. */
mw_status kit_make(build *into, const mw_recipe *recipe, mw_span at, kit **out, mw_diags *diags);
/* Lays out the slots and writes the rules of the program (text and spans). */
mw_status kit_layout(kit *made, mw_span at, mw_diags *diags);
mw_status rules_write(kit *made);
/* Finds or adds the source that holds a text of rules (recipe NULL: the job's own); MW_NONE: no memory. */
uint32_t rules_source(mw_job *job, const mw_recipe *recipe, mw_str text);
/* Returns the slot of a quantity (step MW_NONE: of the mould), or MW_NONE. */
uint32_t kit_slot(const kit *made, uint32_t step, mw_str quantity);
/* Returns the step of that name, or MW_NONE. */
uint32_t kit_step(const kit *made, mw_str name);
/* Whether a slot may be set by a job. */
bool slot_settable(const slot *of);
/* Adds "heavy.plies" or "area". */
void slot_words(const kit *made, uint32_t at, mw_text *out);

/* -- globals.c -- */
/* Adds a named value; returns its index or MW_NONE. */
uint32_t global_add(build *into, const global *item);
uint32_t global_find(const build *from, mw_str name);
/* Adds shop.*, job.start; before kits are made. */
mw_status globals_shop(build *into, mw_diags *diags);
/* Adds materials.WORD.* of a material (once); before the edit begins. */
mw_status globals_material(build *into, const mw_material *material, mw_diags *diags);
/* Returns the global of a material's figure, or MW_NONE. */
uint32_t globals_figure(build *from, const mw_material *material, mw_str figure);
/* Adds job.* and the totals of materials, once the moulds are known. */
mw_status totals_add(build *into);
/* Defines those that are sums; the cells of the moulds are known by then. */
mw_status totals_define(build *into, mw_edit *edit);
/* Returns the stock of a material, adding it if new; MW_NONE when there is no memory. */
uint32_t stock_of(build *into, const mw_material *material);
/* Defines all globals in an edit (cells first, formulas after). */
mw_status globals_define(build *into, mw_edit *edit, mw_diags *diags);
/* (Re)defines one. */
void global_define(build *into, mw_edit *edit, uint32_t at);

/* -- layers.c -- */
/* Attaches an override to the slots it reaches (or to a global); diagnoses unknown names. */
mw_status layers_attach(build *into, const entry *set, mw_diags *diags);
mw_status layers_field(build *into, mould *of, const entry_field *field, mw_diags *diags);
/* How narrow an override is. */
layer_rank layers_rank(const entry *set);
/* Whether the layers of a quantity, narrowest first, hide what one of that rank says: none narrower may stand there but by
 * reading it as its usual value. */
bool layers_hide(const layer *first, layer_rank rank);
/* Takes it away again. */
void layers_detach(build *from, const entry *set);
/* Calls `each` (NULL: nobody) for every mould and slot that an override path reaches; returns how many. */
uint32_t layers_reach(build *in, const entry *set,
                      void (*each)(void *context, uint32_t mould, uint32_t slot), void *context);
/* Whether a line of the job is read from the usual value of the inputs of its name: it has a value for each mould, and no
 * cell of its own. */
bool layers_by_mould(build *in, const entry *set);
/* Defines the cell of a slot from its narrowest layer down to the recipe. */
mw_status layers_define(build *into, mw_edit *edit, uint32_t mould_at, uint32_t slot_at,
                        mw_diags *diags);

/* -- limits.c -- */
/* Works out the limits of a kit's quantities. */
mw_status limits_read(build *in, kit *of, mw_diags *diags);
/* Whether a value is outside what its recipe allows, or what the program knows of a value of the shop; an error value is
 * not. */
bool limits_beyond(const slot *of, double value);
bool limits_global_beyond(const global *of, double value);
/* Checks all values against their limits. */
mw_status limits_check(build *in, mw_diags *diags);
/* Whether some value of a lane is outside its limits: adds which. */
bool limits_lane_beyond(const build *in, const mw_lanes *lanes, uint32_t lane, mw_text *why);

/* -- hidden.c -- */
/* Holds an override to the kind of the quantities for which narrower ones hide it. */
mw_status hidden_check(build *in, const entry *set, mw_diags *diags);
/* The same for all that a job says, inputs of moulds included. */
mw_status hidden_check_all(build *in, mw_diags *diags);

/* -- choices.c -- */
/* Finds the materials that overrides choose, and the stocks that are used. */
mw_status choices_resolve(build *into, mw_diags *diags);

/* -- moulds.c -- */
/* Makes the moulds of the document, each with its recipe. */
mw_status moulds_add(build *into, mw_diags *diags);
/* Attaches what is set for them, and orders them in time. */
mw_status moulds_attach(build *into, mw_diags *diags);

/* -- build.c -- */
/* Whether building goes on after a fault (or none). */
bool build_goes_on(const build *into, mw_status status);
/* Builds a document beside the present build. */
mw_status build_make(mw_job *job, const document *from, build **out, mw_diags *diags);
void build_free(build *old);
/* Puts a label on a cell. */
bool build_label(build *into, uint32_t cell, uint32_t mould_at, uint32_t slot_at);
label build_label_of(const build *from, uint32_t cell);
/* Adds the full path of a cell. */
void build_cell_words(const build *in, uint32_t cell, mw_text *out);
/* Between these two, what is written over by an edit in place is noted; if it is not kept, all is put back. */
void build_note_edit(build *into);
void build_end_edit(build *into, bool kept);
/* Gives a definition that reads `usual` its hidden cell, unless it has one. False: no memory. */
bool build_hide(build *into, mw_edit *edit, uint32_t *hidden);
/* Remembers the scope in which a cell's formula was read. */
bool build_scope(build *into, uint32_t cell, const mw_scope *scope);
/* Binds `cell` to the formula that the recipe has for a slot. */
void build_bind(build *into, mw_edit *edit, const mould *of, uint32_t slot_at, uint32_t cell);

/* -- scope.c -- */
void job_scope_start(build *of);
/* Whether what a path begins with may be missing only because of a fault that has been said. */
bool scope_is_unmade(const build *in, mw_str first);
/* The scope of formulas of a recipe: context is a kit_place. */
typedef struct kit_place {
    kit *made;
    uint32_t step;
    mw_reference usual;
    mw_scope scope;
    uint32_t *list; /* slots of a list that was found */
    uint32_t list_capacity;
    bool hushed; /* refused without a word, since something else is to blame */
} kit_place;
void kit_place_start(kit_place *place, kit *made, uint32_t step);
void kit_place_end(kit_place *place);
/* Returns the number of a port, making it if new; MW_NONE when there is no memory. */
uint32_t kit_port(kit *made, const port *wanted);

/* -- host.c -- */
/* A post-cure that was worked out: a recipe asks for each of its stages by itself. */
enum { POST_CURE_ARGUMENTS_MOST = 24, POST_CURES_KEPT = 4 };
typedef struct post_cure_kept {
    double arguments[POST_CURE_ARGUMENTS_MOST];
    uint32_t count; /* of the arguments; 0: none is kept */
    mw_trade_status status;
    mw_post_cure_plan plan;
} post_cure_kept;

typedef struct host_context {
    mw_calendar *shift;
    mw_cure_solver *cure; /* room for integrating, so that calls take none */
    post_cure_kept post_cures[POST_CURES_KEPT];
    uint32_t next_post_cure; /* the one that makes room for another */
    int digits;
} host_context;
mw_host host_functions(host_context *context);

/* -- plan_node.c, plan_show.c, plan_improve.c -- */
typedef struct plan_node plan_node;
mw_status plan_node_make(build *into, plan_node **out);
void plan_node_free(plan_node *node);
/* Makes the output cells (before the slots of the moulds are bound), then the node itself. */
mw_status plan_node_cells(build *into, mw_edit *edit);
mw_status plan_node_define(build *into, mw_edit *edit);
/* While quiet, runs do not touch what reports show. */
void plan_node_quiet(plan_node *node, bool quiet);
/* Spares the plan of a trial what neither a formula reads nor these cells show: slack, and what sets the date. */
void plan_node_spare(plan_node *node, const uint32_t *cells, uint32_t count);
/* Planned steps (none without a plan), and the cell that says whether one sets the date. */
uint32_t plan_node_step_count(const plan_node *node);
uint32_t plan_node_sets(const plan_node *node, uint32_t s);
/* Hands the copy that a plan keeps on to that of another build, step by step of the same names. */
void plan_node_carry(const plan_node *from, plan_node *to);
/* Keeps a copy of the present plan, and words why the last date moved against it. */
mw_status plan_node_remember(plan_node *node);
void plan_node_reason(mw_job *job, bool later, mw_text *out);
/* Planned steps by number. The one that ends last, waits included (of one mould, or MW_NONE: of all); that of a
 * step; the last to end of those that it follows, or MW_NONE. */
uint32_t plan_node_last(const plan_node *node, uint32_t m);
uint32_t plan_node_step(const plan_node *node, uint32_t m, uint32_t step);
uint32_t plan_node_before(const plan_node *node, uint32_t s);
/* Whether there is nothing to do and to wait for. */
bool plan_node_idle(const plan_node *node, uint32_t s);
void plan_node_place(const plan_node *node, uint32_t s, uint32_t *m, uint32_t *step);
/* Appends `work 6.2 h, then waits 18.0 h; waited for laminator`. */
void plan_node_link_words(const plan_node *node, uint32_t s, mw_text *out);

/* Whether a text is an order that can be kept: MW_FAILED: not from `bad` on. */
mw_status job_order_check(mw_str text, mw_str *bad) MW_MUST_USE;
/* Whether the job says which order is kept. */
bool job_keeps_order(const mw_job *job);
/* Appends the order of the present plan, as `job.order` has it. Quiet: what reports show stays. */
mw_status plan_node_order_words(plan_node *node, mw_text *out) MW_MUST_USE;

/* -- warnings.c -- */
typedef struct warning_set {
    const mw_warning_view *items;
    uint32_t count;
} warning_set;
/* Fills the reply with the conditions that hold now and are not in `before`. */
mw_status warnings_new(mw_job *job, const warning_set *before, mw_reply *reply) MW_MUST_USE;

/* -- whatif.c, weigh.c, alternatives.c, why.c -- */
/* Whether an alternative can be worked out; diagnosed. */
mw_status alternative_check(mw_job *job, const entry *item, mw_diags *diags);
/* Warns of alternatives that set what is not there. */
mw_status alternatives_look(build *in, mw_diags *diags);
mw_status weigh(mw_job *job, const mw_statement *statement, mw_reply *reply, mw_diags *diags);
mw_status what_if(mw_job *job, const mw_statement *statement, mw_reply *reply, mw_diags *diags);
mw_status why(mw_job *job, const mw_statement *statement, mw_reply *reply, mw_diags *diags);

/* -- say.c -- */
void job_start_reply(mw_job *job, mw_reply *reply);
/* Makes one step of entries that can be undone; `words` is the statement that says the same, empty where none does. */
typedef struct job_step {
    const entry_list *list;
    mw_span span; /* of what the user said */
    mw_str words;
} job_step;
mw_status job_enter(mw_job *job, const job_step *made, mw_reply *reply, mw_diags *diags);
/* Goes to another document as one step that can be undone. */
mw_status job_move(mw_job *job, const document *to, mw_reply *reply, mw_diags *diags);
/* Takes that step back again, untold, when what it was made for has failed. */
void job_move_back(mw_job *job);

/* -- keep.c -- */
/* What the keeper will be told of the change that comes now; the words are lent until keep_end(). */
void keep_next(mw_job *job, mw_keep_kind kind, mw_str words);
/* The same of a step back, or of one made again, to a document. */
mw_status keep_next_step(mw_job *job, bool back, const document *to, mw_diags *diags);
/* Tells it, once, when nothing else can fail any more; MW_FAILED (diagnosed), MW_NO_MEMORY: the change is refused. */
mw_status keep_now(mw_job *job, mw_diags *diags);
/* What was told is not done after all. */
void keep_take_back(mw_job *job);
/* The change is over; `made`: it was made, and stands in the list of undo. */
void keep_end(mw_job *job, bool made);
void keep_saving(mw_job *job, const char *path, mw_str text);
void keep_saved(mw_job *job);

/* -- save.c -- */
/* Keeps a copy of the bytes that the job's file has. */
mw_status save_keep_paper(mw_job *job, mw_str text);

/* -- change.c -- */
/* Goes from the present document to another: in place where that is possible, else by a new build. */
mw_status change_to(mw_job *job, const document *to, mw_str key, mw_changes *changes,
                    mw_diags *diags);

#endif
