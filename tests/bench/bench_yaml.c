/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How fast a file of 10 MB becomes a tree, beside the bare events of libyaml over the same bytes. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include <yaml.h>

#include "mouldwright/yaml.h"

enum { MEGABYTE = 1000000, FILE_BYTES = 10 * MEGABYTE, ROUNDS = 7 };

static const char *const sample =
    "  - material: sample resin %u\n"
    "    kind: laminating resin\n"
    "    about: a resin for wet lay-up, typical figures\n"
    "    stock: kg\n"
    "    packs: [{size: 6 kg, price: %u EUR}, {size: 30 kg, price: 465 EUR}]\n"
    "    source: \"typical figures: common practice, no source; prices invented\"\n"
    "    figures:\n"
    "      density: 1.10 g/cm3\n"
    "      pot_life: {is: 45 min, source: \"data sheets, 23 degC\"}\n"
    "      next_layer: {is: 'if warm then 6 h else 12 h', source: \"common practice, no source\"}\n"
    "      coverage:\n"
    "        is: |\n"
    "          0.30 kg/m2\n"
    "          * 1.5\n"
    "    cautions: [epoxy, skin]\n";

static mw_str make_file(void)
{
    mw_text text = {0};
    mw_text_adds(&text, "# a big file of materials\nmaterials:\n");
    for (unsigned i = 0; text.length < FILE_BYTES && !text.failed; i++) {
        char row[1200];
        int length = snprintf(row, sizeof row, sample, i, 90 + i % 40);
        mw_text_add(&text, row, (size_t)length);
    }
    if (text.failed) {
        exit(EXIT_FAILURE);
    }
    return (mw_str){text.data, text.length};
}

static double now_s(void)
{
    struct timespec time;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &time);
    return (double)time.tv_sec + 1e-9 * (double)time.tv_nsec;
}

static size_t count_events(mw_str text)
{
    yaml_parser_t parser;
    yaml_event_t event;
    size_t count = 0;
    bool more = yaml_parser_initialize(&parser) != 0;
    yaml_parser_set_input_string(&parser, (const unsigned char *)text.at, text.length);
    while (more) {
        if (!yaml_parser_parse(&parser, &event)) {
            exit(EXIT_FAILURE);
        }
        more = event.type != YAML_STREAM_END_EVENT;
        count++;
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
    return count;
}

static void read_tree(const mw_sources *sources, uint32_t source, mw_diags *diags)
{
    mw_arena *arena = mw_arena_new();
    const mw_yaml_node *root;
    if (arena == NULL || mw_yaml_read(sources, source, arena, &root, diags) != MW_OK ||
        root->count != 1) {
        exit(EXIT_FAILURE);
    }
    mw_arena_free(arena);
}

static int compare(const void *a, const void *b)
{
    double left = *(const double *)a;
    double right = *(const double *)b;
    return left < right ? -1 : left > right;
}

int main(void)
{
    mw_str text = make_file();
    mw_sources *sources = mw_sources_new();
    mw_diags diags;
    if (sources == NULL || mw_diags_start(&diags) != MW_OK) {
        return EXIT_FAILURE;
    }
    uint32_t source = mw_sources_add(sources, mw_str_of("big.yaml"), text);
    double events_s[ROUNDS], tree_s[ROUNDS];
    for (int i = 0; i < ROUNDS; i++) {
        double start = now_s();
        count_events(text);
        double middle = now_s();
        read_tree(sources, source, &diags);
        events_s[i] = middle - start;
        tree_s[i] = now_s() - middle;
    }
    qsort(events_s, ROUNDS, sizeof *events_s, compare);
    qsort(tree_s, ROUNDS, sizeof *tree_s, compare);
    double megabytes = (double)text.length / MEGABYTE;
    double value = megabytes / tree_s[ROUNDS / 2];
    double bare = megabytes / events_s[ROUNDS / 2];
    printf(
        "{\"bench\":\"yaml-10mb\",\"value\":%.1f,\"unit\":\"MB/s\",\"limit\":%.1f,\"ratio\":%.3f}\n",
        value, bare, bare / value);
    mw_diags_free(&diags);
    mw_sources_free(sources);
    free((void *)(uintptr_t)text.at);
    return bare / value <= 3.0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
