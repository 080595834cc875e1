/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is suggested for misspelt names, through the whole program: 200 misspelt ones, of which nine in ten must get the
 * right name, and 100 that are no misspelling, of which at most two may get any.
 * 150 are made by the four single errors that make up four fifths of all misspellings (F. J. Damerau, A technique for
 * computer detection and correction of spelling errors, CACM 7(3), 1964), each in turn, on names of the program drawn by a
 * seed that is printed; 50 are as people write them. */
#include "job_bench.h"

#include <inttypes.h>

#include "mouldwright/function.h"
#include "mouldwright/parse.h"

enum { MADE = 150, WRITTEN = 50, OTHERS = 100, NAMES_MAX = 2000, NAME_BYTES = 64 };

static const uint64_t seed = 19640301;

/* A name, and the statement that it stands in. */
typedef struct place {
    char name[NAME_BYTES];
    const char *statement; /* with %s for the name */
} place;

typedef struct places {
    place items[NAMES_MAX];
    size_t count;
    const char *statement;
} places;

static void add_name(void *context, mw_str name, bool more)
{
    places *all = context;
    (void)more;
    if (name.length >= 4 && name.length < NAME_BYTES && all->count < NAMES_MAX) {
        place *made = &all->items[all->count++];
        snprintf(made->name, sizeof made->name, "%.*s", (int)name.length, name.at);
        made->statement = all->statement;
    }
}

static void add_quoted(void *context, mw_str name)
{
    add_name(context, name, false);
}

static void add_material(void *context, const mw_material *material)
{
    add_name(context, material->name, false);
}

static void add_rows(places *all, const mw_command_row *rows)
{
    all->statement = "%s";
    for (; rows->word; rows++) {
        if (!strchr(rows->word, ' ')) {
            add_name(all, mw_str_of(rows->word), false);
        }
    }
}

static void add_functions(places *all, const mw_function *functions, size_t count)
{
    all->statement = "%s(1)";
    for (size_t i = 0; i < count; i++) {
        add_name(all, mw_str_of(functions[i].name), false);
    }
}

static void below(places *all, job_bench *bench, const char *path, const char *statement)
{
    all->statement = statement;
    mw_job_names_below(bench->job, mw_str_of(path), add_name, all);
}

static void gather(places *all, job_bench *bench)
{
    mw_library *library = mw_job_library(bench->job);
    size_t count = 0;
    const mw_function *built_in = mw_functions(&count);
    mw_host host = mw_job_functions();
    below(all, bench, "", "x = %s + 1");
    below(all, bench, "skiff", "skiff.%s.hours");
    below(all, bench, "skiff.heavy", "skiff.heavy.%s");
    below(all, bench, "hatch.block", "hatch.block.%s = 1");
    below(all, bench, "shop", "shop.%s");
    add_rows(all, mw_command_rows());
    add_rows(all, mw_statement_rows());
    add_functions(all, built_in, count);
    add_functions(all, host.functions, host.count);
    all->statement = "mould y: area 1 m2, recipe \"%s\"";
    assert_int_equal(mw_library_recipes(library, add_quoted, all), MW_OK);
    all->statement = "skiff.heavy.resin_material = \"%s\"";
    assert_int_equal(mw_library_materials(library, add_material, all, &bench->diags), MW_OK);
}

/* Whether the answer to a statement offers the name; every name that is offered is in `try:`. */
static bool offers(job_bench *bench, const char *statement, const char *name)
{
    mw_status status = bench_say(bench, statement);
    for (size_t i = 0; status != MW_OK && i < bench->diags.count; i++) {
        const char *advice = bench->diags.items[i].advice;
        if (advice && strstr(advice, name)) {
            return true;
        }
    }
    return false;
}

/* Puts a word in the place of %s. */
static void put_word(char *out, size_t room, const char *pattern, const char *word)
{
    const char *hole = strstr(pattern, "%s");
    assert_non_null(hole);
    snprintf(out, room, "%.*s%s%s", (int)(hole - pattern), pattern, word, hole + 2);
}

static uint64_t next_random(uint64_t *state) /* splitmix64, Steele, Lea, Flood 2014 */
{
    uint64_t z = (*state += 0x9E3779B97F4A7C15u);
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

/* One error of the kind: 0 another letter, 1 one missing, 2 one too many, 3 two swapped. The first letter stays, as
 * most writers get it right (J. J. Pollock, A. Zamora, CACM 27(4), 1984: 92 %). */
static void misspell(const char *name, int kind, uint64_t *random, char *out)
{
    size_t length = strlen(name);
    size_t at = 1 + next_random(random) % (length - 1 - (kind == 3));
    char letter = (char)('a' + next_random(random) % 26);
    memcpy(out, name, length + 1);
    if (kind == 0) {
        out[at] = letter == name[at] ? (char)(letter == 'z' ? 'a' : letter + 1) : letter;
    } else if (kind == 1) {
        memmove(out + at, out + at + 1, length - at);
    } else if (kind == 2) {
        memmove(out + at + 1, out + at, length - at + 1);
        out[at] = letter;
    } else {
        out[at] = name[at + 1];
        out[at + 1] = name[at];
    }
}

static bool is_name(const places *all, const char *word)
{
    for (size_t i = 0; i < all->count; i++) {
        if (strcmp(all->items[i].name, word) == 0) {
            return true;
        }
    }
    return false;
}

static size_t count_made(job_bench *bench, const places *all)
{
    uint64_t random = seed;
    size_t right = 0;
    for (int i = 0; i < MADE;) {
        const place *of = &all->items[next_random(&random) % all->count];
        char wrong[NAME_BYTES + 2];
        char statement[200];
        misspell(of->name, i % 4, &random, wrong);
        if (is_name(all, wrong) || strcmp(wrong, of->name) == 0) {
            continue;
        }
        put_word(statement, sizeof statement, of->statement, wrong);
        bool found = offers(bench, statement, of->name);
        if (!found) {
            print_message("not offered: %s for `%s` (%s)\n", of->name, statement,
                          bench->diags.count ? bench->diags.items[0].advice : "accepted");
        }
        right += found;
        i++;
    }
    return right;
}

/* As people write them, with what they meant. */
static const struct {
    const char *statement;
    const char *meant;
} written[WRITTEN] = {
    {"takoff", "takeoff"},
    {"take_off", "takeoff"},
    {"calender", "calendar"},
    {"calandar", "calendar"},
    {"mold keel: area 1 m2", "mould"},
    {"molds", "moulds"},
    {"cautoins", "cautions"},
    {"hour", "hours"},
    {"matrials", "materials"},
    {"recepies", "recipes"},
    {"reciepes", "recipes"},
    {"resipes", "recipes"},
    {"undoo", "undo"},
    {"ballpak area 5 m2", "ballpark"},
    {"sqaure", "sqrt"},
    {"skif.area", "skiff"},
    {"skiif.area", "skiff"},
    {"twart.area", "thwart"},
    {"thwaert.area", "thwart"},
    {"hach.area", "hatch"},
    {"skiff.laided_area", "laid_area"},
    {"skiff.heavey.plies", "heavy"},
    {"skiff.hevy.plies = 3", "heavy"},
    {"skiff.heavy.plys = 3", "plies"},
    {"skiff.heavy.plie", "plies"},
    {"skiff.heavy.resine", "resin"},
    {"skiff.heavy.crews", "crew"},
    {"skiff.glas.plies", "glass"},
    {"skiff.sandding.hours", "sanding"},
    {"skiff.serfacing.hours", "surfacing"},
    {"skiff.mesuring.hours", "measuring"},
    {"skiff.machinning.hours", "machining"},
    {"skiff.demold.hours", "demould"},
    {"skiff.finnishing.hours", "finishing"},
    {"skiff.sealling.hours", "sealing"},
    {"skiff.relase.hours", "release"},
    {"skiff.thicknes", "thickness"},
    {"skiff.tightnes = 2", "tightness"},
    {"skiff.heavy.resin_material = \"epoxy laminatng slow\"", "epoxy laminating slow"},
    {"skiff.heavy.resin_material = \"epoxi laminating fast\"", "epoxy laminating fast"},
    {"mould keel: area 1 m2, recipe \"usual mold\"", "usual mould"},
    {"mould keel: area 1 m2, recipe \"split carbn\"", "split carbon"},
    {"mould keel: area 1 m2, recipe \"glas tool\"", "glass tool"},
    {"mould keel: area 1 m2, egde 4 m", "edge"},
    {"mould keel: aera 1 m2", "area"},
    {"roundup(3.2, 1)", "round_up"},
    {"larges(moulds.area)", "largest"},
    {"smalest(moulds.area)", "smallest"},
    {"sum(mould.area)", "moulds"},
    {"shop.overhed", "overhead"},
};

/* Words that are no names here and are like none: of boats, workshops and papers. */
static const char *const others[OTHERS] = {
    "anchor",     "bilge",      "bowsprit",    "bulkhead",    "capstan",   "centreboard",
    "chainplate", "cleat",      "coaming",     "cockpit",     "compass",   "daggerboard",
    "dinghy",     "fender",     "fiddle",      "foredeck",    "gooseneck", "gunwale",
    "halyard",    "hawser",     "helm",        "jib",         "keelson",   "kicker",
    "lanyard",    "leeboard",   "luff",        "mainsail",    "mooring",   "outboard",
    "outrigger",  "paddle",     "propeller",   "quarterdeck", "rowlock",   "rudder",
    "samson",     "scupper",    "shackle",     "spinnaker",   "sponson",   "stanchion",
    "sternpost",  "tabernacle", "tiller",      "topside",     "transom",   "traveller",
    "windlass",   "winch",      "yoke",        "apron",       "awning",    "bicycle",
    "blueprint",  "broom",      "bucket",      "canteen",     "carpet",    "catalogue",
    "chisel",     "customer",   "deposit",     "diary",       "envelope",  "forklift",
    "furnace",    "garage",     "gravel",      "hammer",      "invoice",   "january",
    "kettle",     "ladder",     "lawyer",      "magnet",      "newspaper", "notebook",
    "office",     "parcel",     "pencil",      "plywood",     "pulley",    "receipt",
    "sawdust",    "scaffold",   "screwdriver", "telephone",   "tractor",   "trolley",
    "turnover",   "umbrella",   "vehicle",     "voltage",     "wallpaper", "warehouse",
    "weather",    "whistle",    "workbench",   "xylophone"};

/* The sample with the shipped recipes, whose names people meet. */
static void open_creek(job_bench *bench)
{
    static const char *const folders[] = {"", "recipes"};
    mw_job_options options = {.today_s = 1798934400.0, .folders = folders, .folder_count = 2};
    *bench = (job_bench){0};
    assert_int_equal(mw_diags_start(&bench->diags), MW_OK);
    bench->job = mw_job_new(&options);
    assert_int_equal(mw_job_open(bench->job, "samples/creek.job", &bench->diags), MW_OK);
}

static size_t count_written(job_bench *bench)
{
    size_t right = 0;
    for (size_t i = 0; i < WRITTEN; i++) {
        bool found = offers(bench, written[i].statement, written[i].meant);
        if (!found) {
            print_message("not offered: %s for `%s`\n", written[i].meant, written[i].statement);
        }
        right += found;
    }
    return right;
}

static void misspelt_names_get_the_right_one(void **state)
{
    static places all;
    (void)state;
    job_bench bench;
    open_creek(&bench);
    gather(&all, &bench);
    size_t made = count_made(&bench, &all);
    size_t by_hand = count_written(&bench);
    print_message("seed %" PRIu64
                  ", %zu names: %zu of %d made and %zu of %d written ones got the right name\n",
                  seed, all.count, made, MADE, by_hand, WRITTEN);
    assert_true((made + by_hand) * 10 >= (MADE + WRITTEN) * 9);
    bench_end(&bench);
}

/* The places that a word that is no name is tried in, each in turn. */
static const char *const tried[] = {"%s",    "x = %s + 1",    "skiff.%s", "skiff.heavy.%s = 1",
                                    "%s(1)", "skiff.%s.hours"};

static void other_words_get_none(void **state)
{
    (void)state;
    job_bench bench;
    open_creek(&bench);
    size_t false_ones = 0;
    size_t all_places = 0;
    for (size_t i = 0; i < OTHERS; i++) {
        for (size_t t = 0; t < sizeof tried / sizeof *tried; t++) {
            char statement[200];
            put_word(statement, sizeof statement, tried[t], others[i]);
            assert_int_not_equal(bench_say(&bench, statement), MW_OK);
            const mw_diag *diag = &bench.diags.items[0];
            const char *general = mw_code_advice(diag->code);
            bool suggests = diag->advice && strcmp(diag->advice, general) != 0;
            if (suggests) {
                print_message("offered: `%s` for `%s`\n", diag->advice, statement);
            }
            all_places += suggests;
            false_ones += suggests && t == i % (sizeof tried / sizeof *tried);
        }
    }
    print_message("%zu of %d got one; %zu in all %zu places\n", false_ones, OTHERS, all_places,
                  OTHERS * (sizeof tried / sizeof *tried));
    assert_true(false_ones <= 2);
    bench_end(&bench);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, misspelt_names_get_the_right_one);
    test_add(&list, other_words_get_none);
    return test_run(&list, "report: suggestions");
}
