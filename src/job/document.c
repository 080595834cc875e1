/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The document of a job: statements that change it become entries, one for each thing they say. */
#include "parts.h"

#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

#define JOB_FILE_LIMIT    (64u * 1024u * 1024u)
#define INCLUDE_DEPTH_MAX 16

mw_span job_nowhere(void)
{
    return (mw_span){.source = MW_NONE};
}

mw_str job_copy(mw_arena *arena, mw_str text)
{
    char *copy = mw_arena_copy(arena, text.at ? text.at : "", text.length);
    return (mw_str){copy, copy ? text.length : 0};
}

mw_status document_add(entry_list *list, const entry *item)
{
    void *items = (void *)list->items;
    if (!mw_memory_grow32(&items, &list->capacity, list->count + 1, sizeof *list->items)) {
        return MW_NO_MEMORY;
    }
    list->items = items;
    list->items[list->count++] = item;
    return MW_OK;
}

uint32_t document_find(const document *from, mw_str key)
{
    for (uint32_t i = 0; i < from->count; i++) {
        if (mw_str_equal(from->items[i]->key, key)) {
            return i;
        }
    }
    return MW_NONE;
}

void entry_list_free(entry_list *list)
{
    mw_memory_give((void *)list->items);
    mw_names_free(list->keys);
    *list = (entry_list){0};
}

/* The entry of that key in a list that keeps its keys, or NULL. */
static const entry *find_item(const entry_list *list, mw_str key)
{
    uint32_t at = list->keys ? mw_names_find(list->keys, key) : MW_NONE;
    return at == MW_NONE ? NULL : list->items[at];
}

/* Adds an entry whose key is not there yet. */
static mw_status add_keyed(entry_list *list, const entry *item)
{
    if (!list->keys) {
        list->keys = mw_names_new();
    }
    if (!list->keys || mw_names_add(list->keys, item->key) == MW_NONE) {
        return MW_NO_MEMORY;
    }
    return document_add(list, item);
}

mw_status document_change(mw_job *job, const document *from, const entry_list *items,
                          mw_str without, document *out)
{
    size_t room = (size_t)from->count + (items ? items->count : 0);
    const entry **list = mw_arena_get(job->arena, (room ? room : 1) * sizeof *list);
    bool *used = items ? mw_memory_get(items->count) : NULL;
    if (!list || (items && !used)) {
        mw_memory_give(used);
        return MW_NO_MEMORY;
    }
    uint32_t count = 0;
    for (uint32_t i = 0; i < from->count; i++) {
        const entry *kept = from->items[i];
        if (without.length > 0 && mw_str_equal(kept->key, without)) {
            continue;
        }
        for (uint32_t k = 0; items && k < items->count; k++) {
            if (mw_str_equal(items->items[k]->key, kept->key)) {
                kept = items->items[k];
                used[k] = true;
            }
        }
        list[count++] = kept;
    }
    for (uint32_t k = 0; items && k < items->count; k++) {
        if (!used[k]) {
            list[count++] = items->items[k];
        }
    }
    mw_memory_give(used);
    *out = (document){list, count};
    return MW_OK;
}

/* ---- one statement ---- */

static entry *new_entry(mw_job *job, entry_kind kind, const mw_statement *statement)
{
    entry *made = mw_arena_get(job->arena, sizeof *made);
    if (made) {
        made->kind = kind;
        made->span = statement->span;
        made->name = statement->name.source == MW_NONE
                         ? (mw_str){0}
                         : mw_sources_piece(job->sources, statement->name);
        made->name_at = statement->name;
        made->formula = statement->formula_span;
    }
    return made;
}

static bool set_key(mw_job *job, entry *of, const char *word)
{
    char *key = mw_arena_print(job->arena, "%s %.*s", word, (int)of->name.length, of->name.at);
    of->key = mw_str_of(key);
    return key != NULL;
}

bool document_taken_word(mw_str name)
{
    static const char *const words[] = {"moulds", "shop", "job", "materials", "steps"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (mw_str_is(name, words[i])) {
            return true;
        }
    }
    return false;
}

static mw_status refuse_word(mw_str name, mw_span at, mw_diags *diags)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NAME_TAKEN, at,
                                   "`%.*s` is a word of the language", (int)name.length, name.at);
    mw_diag_try(diags, diag, "choose another name, such as my_%.*s", (int)name.length, name.at);
    return MW_FAILED;
}

static mw_status set_entry(mw_job *job, const mw_statement *statement, entry_list *list,
                           mw_diags *diags)
{
    const mw_node *path = &job->ast.nodes[statement->path];
    mw_span at = {job->ast.source, path->begin, path->end};
    if (path->count > ENTRY_PARTS_MAX) {
        mw_diags_error(diags, MW_CODE_UNKNOWN_NAME, at, "this name has too many parts");
        return MW_FAILED;
    }
    entry *made = new_entry(job, ENTRY_SET, statement);
    if (!made) {
        return MW_NO_MEMORY;
    }
    mw_text name = {0};
    for (uint32_t i = 0; i < path->count; i++) {
        made->parts[i] = job->ast.parts[path->a + i];
        mw_text_adds(&name, i ? "." : "");
        mw_text_add_str(&name, made->parts[i]);
    }
    made->part_count = path->count;
    made->name = job_copy(job->arena, (mw_str){mw_text_chars(&name), name.length});
    bool lost = name.failed || !made->name.at;
    mw_text_free(&name);
    made->name_at = at;
    for (uint32_t i = 0; i < job->ast.node_count; i++) {
        made->uses_usual = made->uses_usual || job->ast.nodes[i].kind == MW_NODE_USUAL;
    }
    if (lost || !set_key(job, made, "set")) {
        return MW_NO_MEMORY;
    }
    if (made->part_count == 1 && document_taken_word(made->parts[0])) {
        return refuse_word(made->parts[0], at, diags);
    }
    return document_add(list, made);
}

static mw_status mould_entry(mw_job *job, const mw_statement *statement, entry_list *list,
                             mw_diags *diags)
{
    entry *made = new_entry(job, ENTRY_MOULD, statement);
    entry_field *fields =
        mw_arena_get(job->arena, (statement->item_count + 1) * sizeof *made->fields);
    if (!made || !fields || !set_key(job, made, "mould")) {
        return MW_NO_MEMORY;
    }
    if (document_taken_word(made->name)) {
        return refuse_word(made->name, made->name_at, diags);
    }
    for (uint32_t i = 0; i < statement->item_count; i++) {
        const mw_item *item = &job->ast.items[statement->first_item + i];
        fields[i] = (entry_field){.name = mw_sources_piece(job->sources, item->name),
                                  .name_at = item->name,
                                  .value = item->value,
                                  .head_unit = MW_NONE};
    }
    made->fields = fields;
    made->field_count = statement->item_count;
    return document_add(list, made);
}

static mw_status plain_entry(mw_job *job, entry_kind kind, const char *key,
                             const mw_statement *statement, entry_list *list)
{
    entry *made = new_entry(job, kind, statement);
    if (!made) {
        return MW_NO_MEMORY;
    }
    made->key = mw_str_of(key);
    return document_add(list, made);
}

/* Writes the path of a file named in `span`, relative to the file that names it. */
static void resolve_path(mw_job *job, mw_span named, mw_text *out)
{
    mw_text folder = {0};
    mw_str source = mw_sources_name(job->sources, named.source);
    bool typed = source.length == 0 || source.at[0] == '<';
    mw_path_folder(&folder, typed ? mw_str_of(job->path ? job->path : "") : source);
    mw_path_join(out, (mw_str){mw_text_chars(&folder), folder.length},
                 mw_sources_piece(job->sources, named));
    out->failed = out->failed || folder.failed;
    mw_text_free(&folder);
}

static mw_status load_file(mw_job *job, const char *path, mw_span at, entry_list *list,
                           mw_diags *diags);

static mw_status from_file(mw_job *job, const mw_statement *statement, entry_list *list,
                           mw_diags *diags)
{
    mw_text path = {0};
    resolve_path(job, statement->name, &path);
    mw_status status = MW_NO_MEMORY;
    if (!path.failed && statement->kind == MW_SAY_INCLUDE) {
        status = load_file(job, mw_text_chars(&path), statement->name, list, diags);
    } else if (!path.failed) {
        status = csv_moulds(job, mw_text_chars(&path), statement->name, list, diags);
    }
    mw_text_free(&path);
    return status;
}

mw_status document_entries(mw_job *job, const mw_statement *statement, entry_list *list,
                           mw_diags *diags)
{
    switch (statement->kind) {
    case MW_SAY_SET:
        return set_entry(job, statement, list, diags);
    case MW_SAY_MOULD:
        return mould_entry(job, statement, list, diags);
    case MW_SAY_SHOP:
        return plain_entry(job, ENTRY_SHOP, "shop", statement, list);
    case MW_SAY_START:
        return plain_entry(job, ENTRY_START, "start", statement, list);
    case MW_SAY_INCLUDE:
    case MW_SAY_MOULDS_FROM:
        return from_file(job, statement, list, diags);
    case MW_SAY_COPY_MOULD:
        return copy_entries(job, statement, list, diags);
    case MW_SAY_COPY_JOB:
    case MW_SAY_NEW:
    case MW_SAY_BALLPARK:
    case MW_SAY_NOTHING:
    case MW_SAY_SHOW:
    case MW_SAY_RESTORE:
    case MW_SAY_WHAT_IF:
    case MW_SAY_WHY:
    case MW_SAY_DROP:
    case MW_SAY_COMMAND:
        break;
    }
    return MW_OK;
}

/* ---- files ---- */

/* Adds what a statement of file `source` says to its list; the same key twice in one file is refused. */
static mw_status add_own(entry_list *own, const entry_list *said, mw_diags *diags)
{
    for (uint32_t i = 0; i < said->count; i++) {
        const entry *before = find_item(own, said->items[i]->key);
        if (before) {
            const entry *now = said->items[i];
            mw_str name = now->name.length ? now->name : now->key;
            mw_diag *diag = mw_diags_error(diags, MW_CODE_NAME_TWICE, now->span,
                                           "`%.*s` is set twice", (int)name.length, name.at);
            mw_diag_other(diags, diag, before->span, "first set here");
            return MW_FAILED;
        }
        mw_status status = add_keyed(own, said->items[i]);
        if (status != MW_OK) {
            return status;
        }
    }
    return MW_OK;
}

/* Keeps what is to be shown once the file is open. */
static mw_status keep_ask(mw_job *job, mw_span span)
{
    void *asks = job->asks;
    if (!mw_memory_grow(&asks, &job->ask_capacity, job->ask_count + 1, sizeof *job->asks)) {
        return MW_NO_MEMORY;
    }
    job->asks = asks;
    job->asks[job->ask_count++] = span;
    return MW_OK;
}

typedef struct file_lists {
    entry_list own;      /* said in the file itself */
    entry_list included; /* said in files it includes: the file's own word goes first */
} file_lists;

static mw_status read_line(mw_job *job, mw_span line, file_lists *lists, mw_diags *diags)
{
    mw_statement statement;
    mw_reader reader = {&job->ast, job->measure, job->sources, diags};
    mw_ast_clear(&job->ast);
    mw_status status = mw_parse_statement(&reader, line, &statement);
    if (status != MW_OK) {
        return status;
    }
    bool back = statement.kind == MW_SAY_RESTORE || statement.kind == MW_SAY_DROP;
    if (back || statement.kind == MW_SAY_COPY_MOULD || statement.kind == MW_SAY_COPY_JOB ||
        statement.kind == MW_SAY_NEW) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_UNKNOWN_STATEMENT, statement.span,
                                       "this works at the prompt, not in a file");
        if (back) {
            mw_diag_try(diags, diag, "take out the line that it would undo");
        }
        return MW_FAILED;
    }
    if (statement.kind == MW_SAY_SHOW || statement.kind == MW_SAY_WHY ||
        statement.kind == MW_SAY_WHAT_IF || statement.kind == MW_SAY_COMMAND ||
        statement.kind == MW_SAY_BALLPARK) {
        return keep_ask(job, statement.span);
    }
    entry_list said = {0};
    status = document_entries(job, &statement, &said, diags);
    if (status == MW_OK) {
        bool inner = statement.kind == MW_SAY_INCLUDE;
        status = add_own(inner ? &lists->included : &lists->own, &said, diags);
    }
    entry_list_free(&said);
    return status;
}

/* Hands the lists on: included things that the file itself does not say, then its own. */
static mw_status join_lists(const file_lists *lists, entry_list *list)
{
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < lists->included.count; i++) {
        if (!find_item(&lists->own, lists->included.items[i]->key)) {
            status = document_add(list, lists->included.items[i]);
        }
    }
    for (uint32_t i = 0; status == MW_OK && i < lists->own.count; i++) {
        status = document_add(list, lists->own.items[i]);
    }
    return status;
}

/* Lines are read in three rounds, so that their order does not matter: the shop, which defines units and rates; files
 * that are included; all else. */
typedef enum file_round { ROUND_SHOP, ROUND_INCLUDE, ROUND_REST, ROUND_COUNT } file_round;

static bool starts_with(mw_str line, const char *word)
{
    size_t length = strlen(word);
    return line.length > length && memcmp(line.at, word, length) == 0 &&
           (line.at[length] == ' ' || line.at[length] == '\t' || line.at[length] == '"');
}

static file_round round_of(mw_str line)
{
    line = mw_str_trim(line);
    return starts_with(line, "shop")      ? ROUND_SHOP
           : starts_with(line, "include") ? ROUND_INCLUDE
                                          : ROUND_REST;
}

/* Loads the shop that a file names, for its units. What is wrong is said once, by the build. */
static mw_status load_shop_early(mw_job *job, const entry_list *own)
{
    const entry *named = find_item(own, mw_str_of("shop"));
    if (!named) {
        return MW_OK;
    }
    mw_diags quiet;
    const mw_shop *shop = NULL;
    mw_status status = mw_diags_start(&quiet);
    if (status == MW_OK) {
        status = mw_library_shop(job->library, named->name, named->name_at, &shop, &quiet);
    }
    mw_diags_free(&quiet);
    return status == MW_NO_MEMORY ? status : MW_OK;
}

static mw_status read_round(mw_job *job, uint32_t source, file_round round, file_lists *lists,
                            mw_diags *diags)
{
    mw_status status = MW_OK;
    mw_span line;
    uint32_t at = 0;
    while (status != MW_NO_MEMORY && mw_next_line(job->sources, source, &at, &line)) {
        if (round_of(mw_sources_piece(job->sources, line)) == round) {
            mw_status one = read_line(job, line, lists, diags);
            status = one != MW_OK ? one : status;
        }
    }
    return status;
}

static mw_status read_lines(mw_job *job, uint32_t source, entry_list *list, mw_diags *diags)
{
    file_lists lists = {0};
    mw_status status = MW_OK;
    for (int round = 0; status != MW_NO_MEMORY && round < ROUND_COUNT; round++) {
        mw_status one = read_round(job, source, (file_round)round, &lists, diags);
        status = one != MW_OK ? one : status;
        if (round == ROUND_SHOP && status == MW_OK) {
            status = load_shop_early(job, &lists.own);
        }
    }
    if (status == MW_OK) {
        status = join_lists(&lists, list);
    }
    entry_list_free(&lists.own);
    entry_list_free(&lists.included);
    return status;
}

/* Whether a file is being read already (an include loop) or the includes are too deep. */
static bool loops(mw_job *job, mw_str name, mw_span at, mw_diags *diags)
{
    for (uint32_t i = 0; i < job->open_count; i++) {
        if (mw_str_equal(mw_sources_name(job->sources, job->open_files[i]), name)) {
            mw_diags_error(diags, MW_CODE_INCLUDE_LOOP, at, "`%.*s` includes itself",
                           (int)name.length, name.at);
            return true;
        }
    }
    if (job->open_count >= INCLUDE_DEPTH_MAX) {
        mw_diags_error(diags, MW_CODE_INCLUDE_LOOP, at, "more than %d files inside each other",
                       INCLUDE_DEPTH_MAX);
        return true;
    }
    return false;
}

mw_status job_read_source(mw_job *job, const char *path, mw_span at, uint32_t *source,
                          mw_diags *diags)
{
    char *data = NULL;
    size_t length = 0;
    mw_status status = mw_file_read(path, JOB_FILE_LIMIT, &data, &length);
    if (status == MW_IO) {
        bool missing = errno == ENOENT;
        mw_diag *diag = mw_diags_error(diags,
                                       missing          ? MW_CODE_NO_SUCH_FILE
                                       : errno == EFBIG ? MW_CODE_TOO_BIG
                                                        : MW_CODE_CANNOT_READ,
                                       at, "cannot read `%s`: %s", path, strerror(errno));
        mw_diag_try(diags, diag, "check the name and where the file lies");
        return MW_FAILED;
    }
    if (status != MW_OK) {
        return status;
    }
    *source = mw_sources_adopt(job->sources, mw_str_of(path), data, length);
    if (*source == MW_NONE) {
        mw_memory_give(data);
        return MW_NO_MEMORY;
    }
    size_t bad = mw_utf8_check((mw_str){data, length});
    if (bad < length) {
        mw_diags_error(diags, MW_CODE_BAD_TEXT,
                       (mw_span){*source, (uint32_t)bad, (uint32_t)bad + 1},
                       "this byte is not valid UTF-8 text");
        return MW_FAILED;
    }
    return MW_OK;
}

static mw_status load_file(mw_job *job, const char *path, mw_span at, entry_list *list,
                           mw_diags *diags)
{
    if (loops(job, mw_str_of(path), at, diags)) {
        return MW_FAILED;
    }
    uint32_t source = MW_NONE;
    mw_status status = job_read_source(job, path, at, &source, diags);
    if (status != MW_OK) {
        return status;
    }
    job->open_files[job->open_count++] = source;
    status = read_lines(job, source, list, diags);
    job->open_count--;
    return status;
}

mw_status document_load(mw_job *job, const char *path, entry_list *list, mw_diags *diags)
{
    return load_file(job, path, job_nowhere(), list, diags);
}
