/** What each shell runs to complete `trace-short`; all it does is ask the command itself. */
export const SHELLS = ['bash', 'zsh', 'fish'] as const;

export type Shell = (typeof SHELLS)[number];

const BASH = `# Completion of trace-short for bash. In ~/.bashrc: eval "$(trace-short completion bash)"
_trace_short() {
  local IFS=$'\\n' also='' word
  local piece=\${COMP_WORDS[COMP_CWORD]}
  # An open quote is a piece of its own to bash, or stands before one.
  piece=\${piece#[\\"\\']}
  COMPREPLY=()
  while read -r word; do
    case $word in
      :files | :folders) also=$word ;;
      *) COMPREPLY+=("$word") ;;
    esac
  done < <("\${COMP_WORDS[0]}" completion answer bash "\${COMP_LINE:0:COMP_POINT}" "$piece" 2>/dev/null)
  case $also in
    :files) compopt -o filenames; COMPREPLY+=($(compgen -f -- "$piece")) ;;
    :folders) compopt -o filenames; COMPREPLY+=($(compgen -d -- "$piece")) ;;
  esac
  # A name that ends so is not at its end: a pin, or a file, follows.
  [[ \${#COMPREPLY[@]} -eq 1 && \${COMPREPLY[0]} == *[./] ]] && compopt -o nospace
  return 0
}
complete -F _trace_short trace-short
`;

const ZSH = `#compdef trace-short
# Completion of trace-short for zsh. In ~/.zshrc, behind compinit: eval "$(trace-short completion zsh)"
_trace_short() {
  local -a lines open whole
  local line also=''
  lines=("\${(@f)$("\${words[1]}" completion answer zsh "\${(@)words[2,CURRENT]}" 2>/dev/null)}")
  for line in $lines; do
    case $line in
      :files|:folders) also=$line ;;
      '') ;;
      *$'\\t'*) whole+=("\${\${line%%$'\\t'*}//:/\\\\:}:\${line#*$'\\t'}") ;;
      *[./]) open+=("$line") ;;
      *) whole+=("\${line//:/\\\\:}") ;;
    esac
  done
  # A name that ends so is not at its end: a pin, or a file, follows.
  (( \${#open} )) && compadd -S '' -a open
  (( \${#whole} )) && _describe -t words 'trace-short' whole
  case $also in
    :files) _files ;;
    :folders) _files -/ ;;
  esac
}
compdef _trace_short trace-short
`;

const FISH = `# Completion of trace-short for fish. Once: trace-short completion fish > ~/.config/fish/completions/trace-short.fish
function __trace_short
  set -l words (commandline -opc)
  set -l typed (commandline -ct)
  for line in ($words[1] completion answer fish $words[2..-1] "$typed" 2>/dev/null)
    switch $line
      case ':files'
        __fish_complete_path "$typed"
      case ':folders'
        __fish_complete_directories "$typed" ''
      case '*'
        echo $line
    end
  end
end
complete -c trace-short -f -a '(__trace_short)'
`;

export const SCRIPTS: Readonly<Record<Shell, string>> = { bash: BASH, zsh: ZSH, fish: FISH };
