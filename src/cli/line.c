/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The only file that knows readline. Its hooks take no context, so what they need stands in one static record. */
#include "line.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/select.h>
#include <unistd.h>

#include <readline/history.h>
#include <readline/readline.h>

#include "mouldwright/memory.h"
#include "stop.h"

enum {
    BUFFER_BYTES = 8192,
    SHOWN_BYTES = 2000,     /* a longer block is shown by a label in place of its text */
    PASTE_BYTES = 64 << 20, /* what is past this is not taken */
    TYPED_BYTES = 32,       /* more keys than these do not wait when somebody types */
    DROP_TRIES = 16,        /* a dropped line is ended by so many keys, then by the end of input */
    KEY_WAIT_US = 50000,    /* how long the rest of a key's sequence may take */
    LISTED_MAX = 200,       /* candidates shown at a time */
    REMEMBERED_MAX = 5000
};

/* A long block, and the label that stands for it while the line is edited. */
typedef struct block {
    char *label;
    mw_text text;
} block;

static struct {
    const line_owner *owner;
    char bytes[BUFFER_BYTES];
    size_t begin, end; /* of what was read and not taken yet */
    bool dropped;
    int drop_tries;
    block *blocks;
    size_t block_count, block_capacity;
} state;

/* ---- keys ---- */

static void drop_line(void)
{
    rl_point = rl_end;
    (*rl_redisplay_function)();
    fputs("^C", rl_outstream);
    rl_replace_line("", 1);
    state.dropped = true;
    state.drop_tries = 0;
}

static void suspend(void)
{
    (*rl_deprep_term_function)();
    stop_suspend();
    (*rl_prep_term_function)(1);
    rl_resize_terminal();
    rl_forced_update_display();
}

/* Fills the buffer; false: the end of input. */
static bool fill(void)
{
    ssize_t got;
    do {
        got = read(STDIN_FILENO, state.bytes, sizeof state.bytes);
    } while (got < 0 && errno == EINTR);
    state.begin = 0;
    state.end = got > 0 ? (size_t)got : 0;
    return got > 0;
}

static int read_key(FILE *in)
{
    (void)in;
    for (;;) {
        if (state.dropped) {
            return state.drop_tries++ < DROP_TRIES ? '\n' : EOF;
        }
        if (state.begin < state.end) {
            return (unsigned char)state.bytes[state.begin++];
        }
        stop_event event = stop_wait(STDIN_FILENO);
        if (event == STOP_DROP) {
            drop_line();
        } else if (event == STOP_RESIZE) {
            rl_resize_terminal();
        } else if (event == STOP_SUSPEND) {
            suspend();
        } else if (event == STOP_KEY && !fill()) {
            return EOF;
        }
    }
}

/* Whether more of a key's sequence is there or comes at once. */
static int more_input(void)
{
    fd_set set;
    struct timeval wait = {0, KEY_WAIT_US};
    if (state.begin < state.end) {
        return 1;
    }
    FD_ZERO(&set);
    FD_SET(STDIN_FILENO, &set);
    return select(STDIN_FILENO + 1, &set, NULL, NULL, &wait) > 0;
}

/* ---- blocks ---- */

static size_t count_lines(mw_str text)
{
    size_t lines = 1;
    for (size_t i = 0; i < text.length; i++) {
        lines += text.at[i] == '\n';
    }
    return lines;
}

static int screen_rows(void)
{
    int rows = 0;
    int columns = 0;
    rl_get_screen_size(&rows, &columns);
    return rows > 4 ? rows : 4;
}

static bool too_long(mw_str text)
{
    return text.length > SHOWN_BYTES || count_lines(text) > (size_t)screen_rows() - 2;
}

/* Returns a label for a long text, kept until line_end(); NULL: no memory. */
static const char *keep_block(mw_str text)
{
    void *blocks = state.blocks;
    if (!mw_memory_grow(&blocks, &state.block_capacity, state.block_count + 1,
                        sizeof *state.blocks)) {
        return NULL;
    }
    state.blocks = blocks;
    mw_text label = {0};
    mw_text_addf(&label, "[block %zu: %zu lines]", state.block_count + 1, count_lines(text));
    block *made = &state.blocks[state.block_count];
    *made = (block){.label = label.data};
    mw_text_add_str(&made->text, text);
    if (label.failed || made->text.failed) {
        mw_text_free(&label);
        mw_text_free(&made->text);
        return NULL;
    }
    state.block_count++;
    return made->label;
}

/* Adds a line with its labels replaced by what they stand for. */
static void expand_blocks(const char *line, mw_text *out)
{
    while (*line) {
        const char *open = strstr(line, "[block ");
        const block *found = NULL;
        for (size_t i = 0; open && !found && i < state.block_count; i++) {
            if (strncmp(open, state.blocks[i].label, strlen(state.blocks[i].label)) == 0) {
                found = &state.blocks[i];
            }
        }
        size_t length = open ? (size_t)(open - line) + !found : strlen(line);
        mw_text_add(out, line, length);
        line += length;
        if (found) {
            mw_text_add(out, mw_text_chars(&found->text), found->text.length);
            line += strlen(found->label);
        }
    }
}

/* ---- pasting ---- */

#define PASTE_END "\033[201~"

static bool ends_paste(const mw_text *text)
{
    size_t length = sizeof PASTE_END - 1;
    return text->length >= length &&
           memcmp(text->data + text->length - length, PASTE_END, length) == 0;
}

/* Line ends as ours, no other control characters, none at the end. */
static void clean_paste(mw_text *text)
{
    size_t to = 0;
    for (size_t i = 0; i < text->length; i++) {
        char c = text->data[i];
        bool pair = c == '\n' && i > 0 && text->data[i - 1] == '\r';
        if (c == '\r') {
            text->data[to++] = '\n';
        } else if (!pair && (c == '\n' || c == '\t' || (unsigned char)c >= ' ') && c != 0x7F) {
            text->data[to++] = c;
        }
    }
    while (to > 0 && text->data[to - 1] == '\n') {
        to--;
    }
    text->length = to;
    text->data[to] = '\0';
}

/* A block that the terminal marks as pasted goes in as it is: nothing in it is a key. */
static int paste(int count, int key)
{
    mw_text text = {0};
    (void)count;
    (void)key;
    int c = read_key(rl_instream);
    while (c != EOF && !state.dropped) {
        if (text.length < PASTE_BYTES) {
            mw_text_addc(&text, (char)c);
        }
        if (c == '~' && ends_paste(&text)) {
            text.length -= sizeof PASTE_END - 1;
            break;
        }
        c = read_key(rl_instream);
    }
    if (!state.dropped && text.length > 0 && !text.failed) {
        clean_paste(&text);
        mw_str pasted = {mw_text_chars(&text), text.length};
        const char *label = too_long(pasted) ? keep_block(pasted) : NULL;
        rl_insert_text(label ? label : mw_text_chars(&text));
    }
    mw_text_free(&text);
    return 0;
}

/* ---- completion ---- */

static void list_candidates(const completion *found)
{
    int rows = 0;
    int columns = 80;
    size_t widest = 1;
    size_t shown = found->count < LISTED_MAX ? found->count : LISTED_MAX;
    rl_get_screen_size(&rows, &columns);
    for (size_t i = 0; i < shown; i++) {
        size_t width = mw_utf8_columns(found->items[i].text);
        widest = width > widest ? width : widest;
    }
    size_t across = (size_t)(columns > 0 ? columns : 80) / (widest + 2);
    across = across > 0 ? across : 1;
    size_t down = (shown + across - 1) / across;
    for (size_t row = 0; row < down; row++) {
        fputc('\n', rl_outstream);
        for (size_t at = row; at < shown; at += down) {
            mw_str text = found->items[at].text;
            fwrite(text.at, 1, text.length, rl_outstream);
            size_t width = mw_utf8_columns(text);
            fprintf(rl_outstream, "%*s", at + down < shown ? (int)(widest + 2 - width) : 0, "");
        }
    }
    if (shown < found->count) {
        fprintf(rl_outstream, "\nand %zu more", found->count - shown);
    }
    fputc('\n', rl_outstream);
}

/* The cursor to the end of what is drawn, so that a list goes below it. */
static void show_list(const completion *found)
{
    int point = rl_point;
    rl_point = rl_end;
    (*rl_redisplay_function)();
    list_candidates(found);
    rl_point = point;
    rl_forced_update_display();
}

static void put_completion(const completion *found)
{
    const candidate *first = &found->items[0];
    mw_text text = {0};
    mw_text_add(&text, first->text.at + found->stem.length, found->shared - found->stem.length);
    if (found->count == 1) {
        const char *ending = first->ending;
        bool there =
            ending[0] != '\0' && ending[1] == '\0' && rl_line_buffer[rl_point] == ending[0];
        mw_text_adds(&text, there ? "" : ending);
    }
    if (text.length > 0 && !text.failed) {
        rl_insert_text(mw_text_chars(&text));
    } else if (found->count > 1) {
        show_list(found);
    }
    mw_text_free(&text);
}

static int complete_key(int count, int key)
{
    (void)count;
    (void)key;
    if (state.end - state.begin > TYPED_BYTES) { /* pasted without marks, not typed */
        rl_insert_text(" ");
        return 0;
    }
    completion found = {0};
    mw_str line = {rl_line_buffer, (size_t)rl_end};
    mw_status status = state.owner->complete(state.owner->context, line, (size_t)rl_point, &found);
    if (status == MW_OK && found.count > 0) {
        put_completion(&found);
    } else {
        rl_ding();
    }
    completion_free(&found);
    return 0;
}

/* Who types the dot, blank, bracket or quote that completion has just put goes on as if it had not. */
static int ending_key(int count, int key)
{
    bool there = rl_last_func == complete_key && rl_point > 0 &&
                 (unsigned char)rl_line_buffer[rl_point - 1] == key;
    return there ? 0 : rl_insert(count, key);
}

/* ---- lines ---- */

void line_start(const line_owner *owner)
{
    state.owner = owner;
    rl_readline_name = "mouldwright";
    rl_catch_signals = 0;
    rl_catch_sigwinch = 0;
    rl_change_environment = 0;
    rl_getc_function = read_key;
    rl_input_available_hook = more_input;
    rl_initialize();
    rl_bind_key('\t', complete_key);
    for (const char *ending = ". (\""; *ending; ending++) {
        rl_bind_key(*ending, ending_key);
    }
    rl_bind_keyseq("\033[200~", paste);
    history_write_timestamps = 1;
    using_history();
    stifle_history(REMEMBERED_MAX);
}

void line_end(void)
{
    for (size_t i = 0; i < state.block_count; i++) {
        mw_memory_give(state.blocks[i].label);
        mw_text_free(&state.blocks[i].text);
    }
    mw_memory_give(state.blocks);
    state.blocks = NULL;
    state.block_count = state.block_capacity = 0;
    clear_history();
}

void line_remember(mw_str entry)
{
    mw_text text = {0};
    mw_text_add_str(&text, entry);
    const char *label = too_long(entry) ? keep_block(entry) : NULL;
    const char *line = label ? label : mw_text_chars(&text);
    HIST_ENTRY *last = history_length > 0 ? history_get(history_base + history_length - 1) : NULL;
    if (!text.failed && (!last || strcmp(last->line, line) != 0)) {
        add_history(line);
    }
    mw_text_free(&text);
}

/* The prompt once more where more lines are needed. */
static line_result read_part(const char *prompt, mw_text *out)
{
    state.dropped = false;
    char *line = readline(prompt);
    if (state.dropped) {
        state.dropped = false;
        state.begin = state.end = 0;
        free(line); /* of readline() */
        return LINE_DROPPED;
    }
    if (!line) {
        return LINE_END;
    }
    expand_blocks(line, out);
    free(line); /* of readline() */
    return LINE_GIVEN;
}

line_result line_read(const char *prompt, mw_text *out)
{
    mw_text_clear(out);
    line_result result = read_part(prompt, out);
    while (result == LINE_GIVEN && !out->failed &&
           !state.owner->whole((mw_str){mw_text_chars(out), out->length})) {
        mw_text_addc(out, '\n');
        result = read_part("... ", out);
    }
    /* The end of input ends a statement that is not whole, too: its fault is then said. */
    return result == LINE_END && out->length > 0 ? LINE_GIVEN : result;
}
