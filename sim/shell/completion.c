// SPDX-License-Identifier: MIT
// Completion for bash, made from the tables of options. Names of fields, sections, verdicts and
// trims are asked of the program itself when they are wanted.
#include "shell/help_page.h"

#include <string.h>

// What does not change with the tables.
static const char helpers[] =
    "# SPDX-License-Identifier: MIT\n"
    "# Completion of lowlift for bash, made by lowlift --completion. Needs no other package.\n"
    "\n"
    "# Add the lines of standard input that begin with a text, quoted where they have blanks.\n"
    "_lowlift_offer() {\n"
    "    local line\n"
    "    while IFS= read -r line; do\n"
    "        if [[ $line == \"$1\"* ]]; then\n"
    "            COMPREPLY+=(\"$(printf '%q' \"$line\")\")\n"
    "        fi\n"
    "    done\n"
    "}\n"
    "\n"
    "# Add paths: folders, and scenarios unless only folders are wanted.\n"
    "_lowlift_paths() { # word [d]\n"
    "    local path\n"
    "    compopt -o filenames 2>/dev/null\n"
    "    while IFS= read -r path; do\n"
    "        COMPREPLY+=(\"$path\")\n"
    "    done < <(\n"
    "        compgen -d -- \"$1\"\n"
    "        [[ ${2:-} == d ]] || compgen -f -- \"$1\" | grep -E '\\.ya?ml$'\n"
    "    )\n"
    "}\n"
    "\n"
    "# Trims of the scenarios named on the line.\n"
    "_lowlift_trims() {\n"
    "    local file\n"
    "    for file in \"${COMP_WORDS[@]}\"; do\n"
    "        if [[ $file =~ \\.ya?ml$ && -f $file ]]; then\n"
    "            \"$program\" check \"$file\" 2>/dev/null | sed -nE 's/^  trim ([^:]+):.*/\\1/p'\n"
    "        fi\n"
    "    done | sort -u\n"
    "}\n"
    "\n"
    "_lowlift_fields() {\n"
    "    compopt -o nospace 2>/dev/null\n"
    "    \"$program\" fields 2>/dev/null | sed -nE 's/^  ([a-z_]+\\.[a-z_]+): .*/\\1=/p'\n"
    "}\n"
    "\n"
    "_lowlift_verdicts() {\n"
    "    \"$program\" verdicts 2>/dev/null | sed -nE '/^$/q; s/^\\| ([a-z ]+) \\| [A-Z].*/\\1/p'\n"
    "}\n";

static const char ending[] =
    "_lowlift() {\n"
    "    local program=$1 word=$2 previous=$3 command=${COMP_WORDS[1]}\n"
    "    COMPREPLY=()\n"
    "    if [[ $COMP_CWORD -eq 1 ]]; then\n"
    "        _lowlift_offer \"$word\" < <(_lowlift_commands)\n"
    "    elif [[ ${COMP_WORDS[COMP_CWORD]} == = || $previous == = ]]; then\n"
    "        return # a value with its unit\n"
    "    elif _lowlift_value; then\n"
    "        return\n"
    "    elif [[ $word == -* ]]; then\n"
    "        _lowlift_offer \"$word\" < <(_lowlift_options)\n"
    "    elif [[ $command == fields ]]; then\n"
    "        _lowlift_offer \"$word\" < <(\"$program\" fields 2>/dev/null | sed -nE "
    "'s/^([a-z_]+): .*/\\1/p')\n"
    "    elif [[ $command != verdicts && $command != starter ]]; then\n"
    "        _lowlift_paths \"$word\"\n"
    "    fi\n"
    "}\n"
    "\n"
    "complete -F _lowlift lowlift\n";

// What completes the value of an option, by what its page calls the value.
static void put_value(FILE *out, const struct command *command,
                      const struct command_option *option) {
    static const struct {
        const char *value, *what;
    } known[] = {{"FIELD=VALUE", "_lowlift_offer \"$word\" < <(_lowlift_fields)"},
                 {"FIELD=FROM..TO", "_lowlift_offer \"$word\" < <(_lowlift_fields)"},
                 {"NAME", "_lowlift_offer \"$word\" < <(_lowlift_trims)"},
                 {"VERDICT", "_lowlift_offer \"$word\" < <(_lowlift_verdicts)"},
                 {"FOLDER", "_lowlift_paths \"$word\" d"},
                 {"FILE", "_lowlift_paths \"$word\""}};
    fprintf(out, "    '%s --%s') ", command->name, option->name);
    for (size_t i = 0; i < sizeof known / sizeof known[0]; i++) {
        if (strcmp(known[i].value, option->value) == 0) {
            fprintf(out, "%s ;;\n", known[i].what);
            return;
        }
    }
    if (!option->words) {
        fputs(":;;\n", out); // a value with its unit, which nobody can guess
        return;
    }
    fputs("_lowlift_offer \"$word\" < <(printf '%s\\n'", out);
    for (const char *at = option->words; *at;) {
        const size_t length = strcspn(at, ",");
        fprintf(out, " %.*s", (int)length, at);
        at += length + strspn(at + length, ", ");
    }
    fputs(") ;;\n", out);
}

void help_page_completion(FILE *out) {
    const struct command_option *option;
    fputs(helpers, out);
    fputs("\n_lowlift_commands() {\n    printf '%s\\n'", out);
    for (size_t i = 0; command_at(i); i++) {
        fprintf(out, " %s", command_at(i)->name);
    }
    fputs(" --help --version --manual --completion\n}\n\n"
          "# Value of an option; false when the word before is no option with a value.\n"
          "_lowlift_value() {\n    case \"$command $previous\" in\n",
          out);
    for (size_t i = 0; command_at(i); i++) {
        for (size_t k = 0; (option = option_at(command_at(i), k)) != NULL; k++) {
            if (option->value) {
                put_value(out, command_at(i), option);
            }
        }
    }
    fputs("    *) return 1 ;;\n    esac\n}\n\n_lowlift_options() {\n    case $command in\n", out);
    for (size_t i = 0; command_at(i); i++) {
        fprintf(out, "    %s) printf '%%s\\n'", command_at(i)->name);
        for (size_t k = 0; (option = option_at(command_at(i), k)) != NULL; k++) {
            fprintf(out, " --%s", option->name);
        }
        fputs(" ;;\n", out);
    }
    fputs("    esac\n}\n\n", out);
    fputs(ending, out);
}
