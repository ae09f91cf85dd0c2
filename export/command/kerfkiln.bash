# bash completion of kerfkiln
_kerfkiln() {
  local current=${COMP_WORDS[COMP_CWORD]} previous=${COMP_WORDS[COMP_CWORD - 1]} command=${COMP_WORDS[1]}
  local words=
  COMPREPLY=()
  if ((COMP_CWORD == 1)); then
    words='check figures packet starter schema --help --version'
  else
    case $previous in
      --out) compopt -o dirnames; return ;;
      --paper) words='A4 Letter sheet' ;;
      --deviation) words='0.05mm 0.1mm 0.25mm' ;;
      --piece | --check-square) return ;;
      *)
        case $command in
          starter) words='cushion urn' ;;
          schema) words='--help' ;;
          check) words='--help' ;;
          figures) words='--json --help' ;;
          packet) words='--out --piece --deviation --paper --check-square --part-pdfs --help' ;;
        esac
        if [[ $current != -* && $command != starter ]]; then
          compopt -o filenames
          mapfile -t COMPREPLY < <(compgen -f -X '!*.json' -- "$current"; compgen -d -- "$current")
          return
        fi
        ;;
    esac
  fi
  mapfile -t COMPREPLY < <(compgen -W "$words" -- "$current")
}
complete -F _kerfkiln kerfkiln
