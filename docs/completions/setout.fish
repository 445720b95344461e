# Print an optspec for argparse to handle cmd's options that are independent of any subcommand.
function __fish_setout_global_optspecs
    string join \n C= color= format= h/help V/version
end

function __fish_setout_needs_command
    # Figure out if the current invocation already has a command.
    set -l cmd (commandline -opc)
    set -e cmd[1]
    argparse -s (__fish_setout_global_optspecs) -- $cmd 2>/dev/null
    or return
    if set -q argv[1]
        # Also print the command, so this can be used to figure out what it is.
        echo $argv[1]
        return 1
    end
    return 0
end

function __fish_setout_using_subcommand
    set -l cmd (__fish_setout_needs_command)
    test -z "$cmd"
    and return 1
    contains -- $cmd[1] $argv
end

complete -c setout -n "__fish_setout_needs_command" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_needs_command" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_needs_command" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_needs_command" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_needs_command" -s V -l version -d 'Print version'
complete -c setout -n "__fish_setout_needs_command" -f -a "new" -d 'Begin a design: a small one, with comments, to be changed into your own'
complete -c setout -n "__fish_setout_needs_command" -f -a "check" -d 'Compute everything, and say which checks and limits hold'
complete -c setout -n "__fish_setout_needs_command" -f -a "sweep" -d 'Prove a check over the whole travel of its axes, or find the pose in which it fails'
complete -c setout -n "__fish_setout_needs_command" -f -a "stack" -d 'See how tolerances add up in a dimension or in a check\'s margin'
complete -c setout -n "__fish_setout_needs_command" -f -a "headroom" -d 'See how far a chosen dimension can go before a check fails, or what can mend a failing check'
complete -c setout -n "__fish_setout_needs_command" -f -a "show" -d 'Show values with their units, limits and reasons'
complete -c setout -n "__fish_setout_needs_command" -f -a "trace" -d 'See how a value came about, step by step, or with --reverse what depends on it'
complete -c setout -n "__fish_setout_needs_command" -f -a "impact" -d 'See what other values would do, before and after; nothing is written'
complete -c setout -n "__fish_setout_needs_command" -f -a "set" -d 'Give something another value, limit, note or other field, in its table'
complete -c setout -n "__fish_setout_needs_command" -f -a "rename" -d 'Give something another name or another table, with all that names it'
complete -c setout -n "__fish_setout_needs_command" -f -a "diff" -d 'Compare two revisions, or one with the files as they stand'
complete -c setout -n "__fish_setout_needs_command" -f -a "merge" -d 'Merge tables thing by thing, by hand or for git'
complete -c setout -n "__fish_setout_needs_command" -f -a "history" -d 'See what a dimension or a check was worth from revision to revision, and why it changed'
complete -c setout -n "__fish_setout_needs_command" -f -a "since" -d 'Find the revision with which a check or a limit began to fail, and what did it'
complete -c setout -n "__fish_setout_needs_command" -f -a "export" -d 'Write the files that other programs read'
complete -c setout -n "__fish_setout_needs_command" -f -a "import" -d 'Make a table from OpenSCAD variables or CSV'
complete -c setout -n "__fish_setout_needs_command" -f -a "release" -d 'Record a revision as released, and pack it for those who follow'
complete -c setout -n "__fish_setout_needs_command" -f -a "schema" -d 'Print the JSON Schema by which editors complete and check tables, or design.yaml'
complete -c setout -n "__fish_setout_using_subcommand new" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand new" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand new" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand new" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand check" -l at -d 'Assess less: `rest`, with every axis where it stands and every dimension as wanted' -r -f -a "rest\t''"
complete -c setout -n "__fish_setout_using_subcommand check" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand check" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand check" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand check" -l all -d 'Show what holds as well'
complete -c setout -n "__fish_setout_using_subcommand check" -l independent -d 'Evaluate every formula and tolerance a second time with another engine, and report any difference'
complete -c setout -n "__fish_setout_using_subcommand check" -l strict -d 'Let warnings make the exit status 1'
complete -c setout -n "__fish_setout_using_subcommand check" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand sweep" -l boxes -d 'Into how many boxes the travel may be divided' -r
complete -c setout -n "__fish_setout_using_subcommand sweep" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand sweep" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand sweep" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand sweep" -l worst -d 'Let dimensions lie anywhere in their tolerances as well'
complete -c setout -n "__fish_setout_using_subcommand sweep" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand stack" -l at -d 'Let an axis stand elsewhere than at rest' -r
complete -c setout -n "__fish_setout_using_subcommand stack" -l coverage -d 'Which part of the results the ends hold between them' -r
complete -c setout -n "__fish_setout_using_subcommand stack" -l samples -d 'How many samples are drawn: 1000000, and over travel 10000, if nothing is said' -r
complete -c setout -n "__fish_setout_using_subcommand stack" -l seed -d 'What the samples are drawn by' -r
complete -c setout -n "__fish_setout_using_subcommand stack" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand stack" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand stack" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand stack" -l over-travel -d 'Give the odds that the check fails in some pose of the travel'
complete -c setout -n "__fish_setout_using_subcommand stack" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand headroom" -l for -d 'Which dimensions can mend this check' -r
complete -c setout -n "__fish_setout_using_subcommand headroom" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand headroom" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand headroom" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand headroom" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand show" -l table -d 'List one table' -r
complete -c setout -n "__fish_setout_using_subcommand show" -l facts -d 'Print what one table\'s file says, a line a value; for git, see setout merge --install' -r -F
complete -c setout -n "__fish_setout_using_subcommand show" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand show" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand show" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand show" -l standards -d 'List the published tables of hardware and fits, or those named in full'
complete -c setout -n "__fish_setout_using_subcommand show" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand trace" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand trace" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand trace" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand trace" -l reverse -d 'Show what depends on it instead'
complete -c setout -n "__fish_setout_using_subcommand trace" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand impact" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand impact" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand impact" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand impact" -l strict -d 'Let warnings make the exit status 1'
complete -c setout -n "__fish_setout_using_subcommand impact" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand set" -l unit -d 'The unit that it is shown and exported in' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l min -d 'The least that it may be' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l max -d 'The most that it may be' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l travel -d 'The two ends between which it moves, as in \'0 deg, 28 deg\'' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l tolerance -d 'How true it comes out: a process, ±0.2mm, or a class such as H7' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l spread -d 'How its errors lie: normal, uniform or triangular' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l shares -d 'The error that it shares with others; \'-NAME\' where it is small as they are large' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l one-of -d 'The texts that it may be, as in \'M3, M4, M5\'' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l require -d 'What has to hold, as in \'gap >= 1 mm\'' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l tight -d 'Less margin than this is tight' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l why -d 'The reason' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l made -d 'How it is made: a process, or bought' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l material -d 'What it is made of' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l quantity -d 'How many there are' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l cost -d 'What one costs' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l mass -d 'What one weighs' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l cad -d 'Its scripted model, seen from design.yaml' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l uses -d 'What governs it beside what its model names, as in \'width, frame.depth\'' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l note -d 'A remark' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l without -d 'Take a field out, as in --without min,max' -r
complete -c setout -n "__fish_setout_using_subcommand set" -l from -d 'Read lines `name,value` from a file, or from standard input if it is -' -r -F
complete -c setout -n "__fish_setout_using_subcommand set" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand set" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand set" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand set" -l formula -d 'Replace a formula'
complete -c setout -n "__fish_setout_using_subcommand set" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand rename" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand rename" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand rename" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand rename" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand diff" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand diff" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand diff" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand diff" -l strict -d 'Let warnings make the exit status 1'
complete -c setout -n "__fish_setout_using_subcommand diff" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand merge" -l output -d 'Write the merged table to this file' -r -F
complete -c setout -n "__fish_setout_using_subcommand merge" -l path -d 'Where git has the table, for messages; the design is not evaluated then' -r
complete -c setout -n "__fish_setout_using_subcommand merge" -l labels -d 'What the three states are called behind the marks' -r
complete -c setout -n "__fish_setout_using_subcommand merge" -l marks -d 'How many signs each mark has, instead of 7' -r
complete -c setout -n "__fish_setout_using_subcommand merge" -l preview -d 'Say what would come of merging a revision into the last commit' -r
complete -c setout -n "__fish_setout_using_subcommand merge" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand merge" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand merge" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand merge" -l in-place -d 'Write the merged table over OURS'
complete -c setout -n "__fish_setout_using_subcommand merge" -l install -d 'Have git merge and show the tables of this design by setout'
complete -c setout -n "__fish_setout_using_subcommand merge" -l verify -d 'Say whether git does'
complete -c setout -n "__fish_setout_using_subcommand merge" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand history" -l since -d 'Only what came after this revision' -r
complete -c setout -n "__fish_setout_using_subcommand history" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand history" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand history" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand history" -l plot -d 'Draw the values as points beside their revisions'
complete -c setout -n "__fish_setout_using_subcommand history" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand since" -l since -d 'Only what came after this revision' -r
complete -c setout -n "__fish_setout_using_subcommand since" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand since" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand since" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand since" -l here -d 'Judge the files as they stand, with a status for git bisect run'
complete -c setout -n "__fish_setout_using_subcommand since" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand export" -l to -d 'Write one more file in this format' -r
complete -c setout -n "__fish_setout_using_subcommand export" -l file -d 'The file that --to writes' -r -F
complete -c setout -n "__fish_setout_using_subcommand export" -l stdout -d 'Write to standard output in this format, and no file' -r
complete -c setout -n "__fish_setout_using_subcommand export" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand export" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand export" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand export" -l verify -d 'Write nothing, and say how each file stands'
complete -c setout -n "__fish_setout_using_subcommand export" -l force -d 'Overwrite files that setout did not write, and those edited since'
complete -c setout -n "__fish_setout_using_subcommand export" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand import" -l table -d 'What the table is called, instead of after the file' -r
complete -c setout -n "__fish_setout_using_subcommand import" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand import" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand import" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand import" -l to-stdout -d 'Write the table to standard output, and no file'
complete -c setout -n "__fish_setout_using_subcommand import" -l strict -d 'Let what is left out make the exit status 1'
complete -c setout -n "__fish_setout_using_subcommand import" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand release" -l note -d 'Say this to those who follow; may be given several times, a paragraph each' -r
complete -c setout -n "__fish_setout_using_subcommand release" -l bundle -d 'Write the bundle here, and not beside the record' -r -F
complete -c setout -n "__fish_setout_using_subcommand release" -l since -d 'Where the last release is found, if its commit is not in this repository any more: another revision with the same design, or its bundle. With --verify the bundle, to prove letters and change list too' -r
complete -c setout -n "__fish_setout_using_subcommand release" -l verify -d 'Prove a bundle: its hashes, and all that follows from the tables in it' -r -F
complete -c setout -n "__fish_setout_using_subcommand release" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand release" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand release" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand release" -l although-failing -d 'Release although a check or limit fails, and say so in the record and to those who follow'
complete -c setout -n "__fish_setout_using_subcommand release" -l again -d 'Release what was released before the last release, under a new letter'
complete -c setout -n "__fish_setout_using_subcommand release" -l preview -d 'Write nothing, and show the letters and the change list'
complete -c setout -n "__fish_setout_using_subcommand release" -s h -l help -d 'Print help'
complete -c setout -n "__fish_setout_using_subcommand schema" -s C -d 'Work as if started in this folder' -r -F
complete -c setout -n "__fish_setout_using_subcommand schema" -l color -d 'Colour the text: auto (on a terminal), always or never' -r -f -a "auto\t''
always\t''
never\t''"
complete -c setout -n "__fish_setout_using_subcommand schema" -l format -d 'Answer in text, or in json for programs' -r -f -a "text\t''
json\t''"
complete -c setout -n "__fish_setout_using_subcommand schema" -s h -l help -d 'Print help'
